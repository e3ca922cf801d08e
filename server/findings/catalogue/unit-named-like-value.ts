import { here } from '../fixes.js';
import { walk, type Expression } from '../../model/expression.js';
import type { Entity } from '../../model/namespace.js';
import { at, rule, type Found } from '../rule.js';
import { expressionsOf, itemsOf } from '../text-search.js';

/** Units that are read as units whatever else is called so. */
const PLAIN = new Set(['m', 'mm', 'K', 'N', 's', 'kg', 'Hz', 'W', 'A', 'V', 'J', 'Pa']);

export default rule({
  code: 'unit-named-like-value', severity: 'warning', title: 'A unit that is also a value',
  message: '{number} {unit} is read as a quantity in the unit {unit}, and {block} has a value {unit} as well. Write {number} * {unit} where the value is meant.',
  *onProject(view): Iterable<Found> {
    for (const entity of view.namespace.entities.values()) {
      if (entity.template) continue;
      for (const item of itemsOf(entity.declaration)) {
        for (const expression of expressionsOf(item)) yield* within(expression, entity, item);
      }
    }
  },
  fix: ({ data }) => here(`Write ${data['number']} * ${data['unit']}`, `${data['number']} * ${data['unit']}`),
});

function within(expression: Expression, entity: Entity, item: Parameters<typeof expressionsOf>[0]): Found[] {
  const found: Found[] = [];
  walk(expression, node => {
    if (node.kind !== 'number' || node.unitText === null || PLAIN.has(node.unitText)) return;
    for (let holder: Entity | null = entity; holder && holder.kind !== 'file'; holder = holder.parent) {
      const named = holder.values.get(node.unitText);
      if (!named || named === item) continue;
      found.push({ code: 'unit-named-like-value', place: at(item, node.id), data: { number: node.text, unit: node.unitText, block: holder.path }, related: [{ place: at(named, named.id), message: `${node.unitText} is declared here.` }] });
      return;
    }
  });
  return found;
}
