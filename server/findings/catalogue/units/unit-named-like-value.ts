import { here } from '../../fixes.js';
import type { Entity, Namespace } from '../../../model/namespace.js';
import { at, rule, type Report } from '../../rule.js';
import { walkDeclaration } from '../../text-search.js';

/** Units that are read as units whatever else is called so. */
const PLAIN = new Set(['m', 'mm', 'K', 'N', 's', 'kg', 'Hz', 'W', 'A', 'V', 'J', 'Pa']);

export default rule({
  code: 'unit-named-like-value',
  severity: 'warning',
  title: 'A unit that is also a value',
  message:
    '{number} {unit} is read as a quantity in the unit {unit}, and {block} has a value {unit} as well. Write {number} * {unit} where the value is meant.',
  onProject(report, view): void {
    const doubtful = unitsNamedLikeValues(view.namespace);
    if (doubtful.size === 0) return;
    for (const entity of view.namespace.entities.values()) {
      if (!entity.template && entity.declaration.mentions.units.some(unit => doubtful.has(unit)))
        within(report, entity, doubtful);
    }
  },
  fix: ({ data }) => here(`Write ${data['number']} * ${data['unit']}`, `${data['number']} * ${data['unit']}`),
});

function unitsNamedLikeValues(namespace: Namespace): ReadonlySet<string> {
  const written = new Set(
    [...namespace.rootDeclarations].flatMap(({ mentions }) => mentions.units).filter(unit => !PLAIN.has(unit)),
  );
  const found = new Set<string>();
  for (const entity of namespace.entities.values())
    for (const name of entity.values.keys()) if (written.has(name)) found.add(name);
  return found;
}

function within(report: Report, entity: Entity, doubtful: ReadonlySet<string>): void {
  walkDeclaration(entity.declaration, (node, item) => {
    if (node.kind !== 'number' || node.unitText === null || !doubtful.has(node.unitText)) return;
    for (let holder: Entity | null = entity; holder && holder.kind !== 'file'; holder = holder.parent) {
      const named = holder.values.get(node.unitText);
      if (!named || named === item) continue;
      report({
        code: 'unit-named-like-value',
        place: at(item, node.id),
        data: { number: node.text, unit: node.unitText, block: holder.path },
        related: [{ place: at(named, named.id), message: `${node.unitText} is declared here.` }],
      });
      return;
    }
  });
}
