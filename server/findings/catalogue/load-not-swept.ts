import { factsOf } from '../../engine/facts.js';
import { isTemplate } from '../../engine/verification.js';
import type { Entity } from '../../model/namespace.js';
import { at, rule, type Found, type ProjectView } from '../rule.js';

const MOST_NAMED = 5;

/** Only for parts that have a check over quasi-static loads, and only for loads of the level that those are at. */
export default rule({
  code: 'load-not-swept', severity: 'information', title: 'A load that no check of a part sweeps',
  message: '{load} is swept by no check of {parts}. Add it to their checks, or say in the part: exempt {load} because "…".',
  *onProject(view): Iterable<Found> {
    const quasiStatic = view.namespace.ofKind('load').filter(load => load.values.has('axial') || load.values.has('lateral'));
    const parts = [...loadsOfParts(view)].filter(([, swept]) => [...swept].some(load => quasiStatic.includes(load)));
    for (const load of quasiStatic) {
      const missing = parts.filter(([part, swept]) => !swept.has(load) && !isExempt(part, load, view) && sameLevel(load, swept)).map(([part]) => part.path);
      if (missing.length > 0) yield { code: 'load-not-swept', place: at(load.declaration), data: { load: load.name, parts: `${missing.slice(0, MOST_NAMED).join(', ')}${missing.length > MOST_NAMED ? ` and ${missing.length - MOST_NAMED} more` : ''}` } };
    }
  },
  fix: ({ data }, _text, { view }) => {
    if (/ more$/.test(data['parts']!)) return null;
    const parts = data['parts']!.split(', ').map(path => view.namespace.resolvePath(path.split('.'), view.namespace.root)).filter(part => part !== null);
    return { title: `Exempt ${data['parts']} from it, with a reason`, edits: parts.map(part => ({ place: { inside: { owner: part.declaration, id: 0 } }, text: `exempt ${data['load']} because "…"` })) };
  },
});

function loadsOfParts(view: ProjectView): Map<Entity, Set<Entity>> {
  const found = new Map<Entity, Set<Entity>>();
  const { evaluation, verification } = view.configurations[0]!;
  for (const requirement of verification.index.requirements) {
    const { part } = requirement;
    if (!part || isTemplate(part)) continue;
    const loads = found.get(part) ?? new Set();
    found.set(part, loads);
    for (let i = 1; i <= requirement.checks.length; i++) {
      const cell = evaluation.cell(requirement, `check ${i}`);
      if (cell) for (const load of factsOf(evaluation, cell).loads) loads.add(load);
    }
  }
  return found;
}

function isExempt(part: Entity, load: Entity, view: ProjectView): boolean {
  for (let at: Entity | null = part; at; at = at.parent) {
    for (const holder of [at, at.base]) if (holder?.declaration.exempt.some(exempt => exempt.targets.some(target => view.namespace.resolvePath(target.path, part) === load))) return true;
  }
  return false;
}

function sameLevel(load: Entity, swept: ReadonlySet<Entity>): boolean {
  const level = (entity: Entity): string => { const value = entity.values.get('level')?.value; return value?.kind === 'name' ? value.name : ''; };
  return [...swept].some(other => level(other) === level(load));
}
