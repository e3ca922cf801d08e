import type { ValueItem } from '../../model/declaration.js';
import { at, rule, type Found } from '../rule.js';

export default rule({
  code: 'duplicate-field', severity: 'error', title: 'A name is given twice in a block',
  message: '{name} is given twice in {block}: the first counts. Remove one of them.',
  *onDeclaration(entity): Iterable<Found> {
    const first = new Map<string, ValueItem>();
    for (const item of entity.declaration.values) {
      const before = first.get(item.name);
      if (before) yield { code: 'duplicate-field', place: at(item, item.id), data: { name: item.name, block: entity.path }, related: [{ place: at(before, before.id), message: 'First given here.' }] };
      else first.set(item.name, item);
    }
  },
  fix: ({ data, place }) => ({ title: `Remove this ${data['name']}`, edits: [{ place: { remove: place.owner as ValueItem }, text: '' }] }),
});
