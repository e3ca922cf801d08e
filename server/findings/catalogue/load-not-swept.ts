import { factsOf } from '../../engine/facts.js';
import { isTemplate } from '../../engine/verification.js';
import type { Entity } from '../../model/namespace.js';
import { at, rule, type Found, type ProjectView } from '../rule.js';

/** Only for parts that have a check over loads, and for loads that other checks do sweep as a whole. */
export default rule({
  code: 'load-not-swept', severity: 'information', title: 'A load that no check of a part sweeps',
  message: '{part} is checked against {swept} and never against {missing}. Add it to its checks, or say exempt {first} because "…".',
  *onProject(view): Iterable<Found> {
    const quasiStatic = view.namespace.ofKind('load').filter(load => load.values.has('axial') || load.values.has('lateral'));
    for (const [part, swept] of loadsOfParts(view)) {
      if (swept.size === 0 || ![...swept].some(load => quasiStatic.includes(load))) continue;
      const missing = quasiStatic.filter(load => !swept.has(load) && !isExempt(part, load, view) && sameLevel(load, swept));
      if (missing.length > 0) yield { code: 'load-not-swept', place: at(part.declaration), data: { part: part.path, swept: names(swept), missing: names(missing), first: missing[0]!.name } };
    }
  },
});

const names = (loads: Iterable<Entity>): string => [...loads].map(load => load.name).sort().join(', ');

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
