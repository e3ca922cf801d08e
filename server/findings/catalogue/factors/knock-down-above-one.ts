import { at, rule } from '../../rule.js';
import { wordOf } from '../../../engine/values/words.js';

export default rule({
  code: 'knock-down-above-one',
  severity: 'warning',
  title: 'A knock-down above 1',
  message: '{set}.{name} is {value}: a knock-down multiplies an allowable and is at most 1.',
  kinds: ['factors'],
  onDeclaration(report, entity): void {
    if (wordOf(entity, 'side') !== 'allowable') return;
    for (const item of entity.values.values()) {
      if (item.value.kind === 'number' && item.value.unitText === null && Number(item.value.text) > 1)
        report({
          code: 'knock-down-above-one',
          place: at(item, item.value.id),
          data: { set: entity.name, name: item.name, value: item.value.text },
        });
    }
  },
});
