import { wordOf } from '../../../engine/values/words.js';
import { at, rule } from '../../rule.js';
import { factorsOfCheck, requirementData } from '../../requirement-data.js';

export default rule({
  code: 'knock-down-side',
  severity: 'warning',
  title: 'A knock-down on the load',
  message:
    '{label} multiplies the applied side by {factor}, a knock-down for allowables: that makes the load smaller. Move it to the other side.',
  onRequirement(report, result, configuration): void {
    for (const check of result.checks) {
      const wrong = factorsOfCheck(configuration, check).find(
        use => use.side === 'applied' && use.value < 1 && wordOf(use.entity, 'side') === 'allowable',
      );
      if (wrong)
        report({
          code: 'knock-down-side',
          place: at(check.item, check.item.condition.id),
          data: { ...requirementData(result, configuration), factor: `${wrong.entity.name}.${wrong.item.name}` },
        });
    }
  },
});
