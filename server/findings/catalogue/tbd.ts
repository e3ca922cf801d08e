import { walk } from '../../model/expression.js';
import { itemsOf } from '../text-search.js';
import { at, rule, type Found } from '../rule.js';

export default rule({
  code: 'tbd', severity: 'information', title: 'A value is to be determined',
  message: ({ what, owner, due }) => `${what} is to be determined${owner ? ` by ${owner}` : ''}${due ? `, due ${due}` : ''}. What needs it is undetermined until then.`,
  *onDeclaration(entity): Iterable<Found> {
    for (const item of itemsOf(entity.declaration)) {
      if (!('value' in item)) continue;
      const places: number[] = [];
      walk(item.value, node => {
        if (node.kind === 'tbd') places.push(node.id);
      });
      const { owner, due } = item.annotations;
      for (const id of places) yield { code: 'tbd', place: at(item, id), data: { what: `${entity.path}.${item.name}`, owner: owner ?? '', due: due?.path.join('.') ?? '' } };
    }
  },
});
