import type { Entity } from '../../model/namespace.js';
import { coverageOfParts, isExempt, nameParts } from '../coverage.js';
import { at, rule } from '../rule.js';

/** Only for parts that have a check over quasi-static loads, and only for loads of the level that those are at. */
export default rule({
  code: 'load-not-swept',
  severity: 'information',
  title: 'A load that no check of a part sweeps',
  message:
    '{load} is swept by no check of {parts}. Add it to their checks, or say in the part: exempt {load} because "…".',
  onProject(report, view): void {
    const quasiStatic = view.namespace
      .ofKind('load')
      .filter(load => load.values.has('axial') || load.values.has('lateral'));
    const parts = [...coverageOfParts(view)].filter(([, { loads }]) =>
      [...loads].some(load => quasiStatic.includes(load)),
    );
    for (const load of quasiStatic) {
      const missing = parts
        .filter(([part, { loads }]) => !loads.has(load) && !isExempt(part, load, view) && sameLevel(load, loads))
        .map(([part]) => part);
      if (missing.length > 0)
        report({
          code: 'load-not-swept',
          place: at(load.declaration),
          data: { load: load.name, parts: nameParts(missing) },
        });
    }
  },
  fix: ({ data }, _text, { view }) => {
    if (/ more$/.test(data['parts']!)) return null;
    const parts = data['parts']!.split(', ')
      .map(path => view.namespace.resolvePath(path.split('.'), view.namespace.root))
      .filter(part => part !== null);
    return {
      title: `Exempt ${data['parts']} from it, with a reason`,
      edits: parts.map(part => ({
        place: { inside: { owner: part.declaration, id: 0 } },
        text: `exempt ${data['load']} because "…"`,
      })),
    };
  },
});

function sameLevel(load: Entity, swept: ReadonlySet<Entity>): boolean {
  const level = (entity: Entity): string => {
    const value = entity.values.get('level')?.value;
    return value?.kind === 'name' ? value.name : '';
  };
  return [...swept].some(other => level(other) === level(load));
}
