import type { Entity } from '../../../model/namespace.js';
import { loadMatrix, nameParts } from '../../coverage.js';
import { at, rule } from '../../rule.js';

/** Only for parts that have a check over some load, and only for loads of a level that those are at. */
export default rule({
  code: 'load-not-swept',
  severity: 'information',
  title: 'A load that no check of a part sweeps',
  message:
    '{load} is swept by no check of {parts}. Add it to their checks, or say in the part: exempt {load} because "…".',
  onProject(report, view): void {
    const holes = new Map<Entity, Entity[]>();
    for (const { part, uses } of loadMatrix(view))
      for (const [load, use] of uses) if (use === 'open') holes.set(load, [...(holes.get(load) ?? []), part]);
    for (const [load, parts] of holes)
      report({
        code: 'load-not-swept',
        place: at(load.declaration),
        data: { load: load.name, parts: nameParts(parts) },
        related: parts.map(part => ({ place: at(part.declaration), message: `${part.path} leaves ${load.name} out.` })),
      });
  },
  fix: ({ data }, _text, { view }) => {
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
