import type { ValueItem } from '../../../model/declaration.js';
import { at, rule } from '../../rule.js';

export default rule({
  code: 'duplicate-field',
  severity: 'error',
  title: 'A name is given twice in a block',
  message: '{name} is given twice in {block}: the first counts. Remove one of them.',
  onDeclaration(report, entity): void {
    const { values } = entity.declaration;
    for (const item of values) {
      if (entity.values.get(item.name) === item) continue;
      const before = values.find(candidate => candidate.name === item.name)!;
      if (before !== item)
        report({
          code: 'duplicate-field',
          place: at(item, item.id),
          data: { name: item.name, block: entity.path },
          related: [{ place: at(before, before.id), message: 'First given here.' }],
        });
    }
  },
  fix: ({ data, place }) => ({
    title: `Remove this ${data['name']}`,
    edits: [{ place: { remove: place.owner as ValueItem }, text: '' }],
  }),
});
