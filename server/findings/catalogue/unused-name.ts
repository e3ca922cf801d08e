import type { ValueItem } from '../../model/declaration.js';
import { walk } from '../../model/expression.js';
import { at, rule, type Found } from '../rule.js';
import { declarationsOf, expressionsOf, itemsOf } from '../text-search.js';

export default rule({
  code: 'unused-name', severity: 'hint', title: 'A name is never used',
  message: '{name} is calculated and nothing reads it.',
  *onProject(view): Iterable<Found> {
    const used = new Set<string>();
    const declarations = [...declarationsOf(view.namespace)];
    for (const declaration of declarations) {
      for (const reference of [...declaration.free, ...declaration.inputs]) for (const segment of reference.path) used.add(segment);
      for (const item of itemsOf(declaration)) {
        if (item.kind === 'override') for (const segment of item.path) used.add(segment);
        for (const expression of expressionsOf(item)) walk(expression, node => {
          if (node.kind === 'name' || node.kind === 'member') used.add(node.name);
        });
      }
    }
    for (const declaration of declarations) {
      for (const item of declaration.values) if ((item.kind === 'let' || item.kind === 'formula') && !used.has(item.name)) yield { code: 'unused-name', place: at(item, item.id), data: { name: item.name } };
    }
  },
  fix: ({ data, place }) => ({ title: `Remove ${data['name']}`, edits: [{ place: { remove: place.owner as ValueItem }, text: '' }] }),
});
