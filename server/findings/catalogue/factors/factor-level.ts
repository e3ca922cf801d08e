import { factsOfRow } from '../../../engine/facts.js';
import { wordOf } from '../../../engine/values/words.js';
import { at, rule } from '../../rule.js';
import { factorsOfCheck, requirementData, sidesOf } from '../../requirement-data.js';

export default rule({
  code: 'factor-level',
  severity: 'warning',
  title: 'A factor for loads of another level',
  message:
    '{label} multiplies {load}, a load at {level} level, by {factors}, whose factors are for {wanted} loads{configuration}.',
  onRequirement(report, result, configuration): void {
    for (const check of result.checks) {
      const sides = check.governing ? sidesOf(check.governing) : null;
      if (!sides) continue;
      const loads = [...factsOfRow(configuration.evaluation, check.governing!.row, 'both').loads];
      for (const use of factorsOfCheck(configuration, check)) {
        const wanted = wordOf(use.entity, 'level');
        const wrong =
          wanted === null || wordOf(use.entity, 'side') === 'allowable'
            ? undefined
            : loads.find(load => {
                const level = wordOf(load, 'level');
                return level !== null && level !== wanted;
              });
        if (!wrong) continue;
        report({
          code: 'factor-level',
          place: at(check.item, check.item.condition.id),
          data: {
            ...requirementData(result, configuration),
            load: wrong.name,
            level: wordOf(wrong, 'level')!,
            factors: use.entity.name,
            wanted: wanted!,
          },
        });
        break;
      }
    }
  },
});
