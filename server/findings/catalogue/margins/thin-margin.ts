import { at, rule } from '../../rule.js';
import { checkData, requirementData } from '../../requirement-data.js';

export default rule({
  code: 'thin-margin',
  severity: 'warning',
  title: 'A margin is thin',
  message: '{label} passes{mode}{case} with a margin of {margin} only: {applied} against {allowable}{configuration}.',
  onRequirement(report, result, configuration): void {
    for (const check of result.checks)
      if (check.thin && check.governing)
        report({
          code: 'thin-margin',
          place: at(check.item, check.item.condition.id),
          data: checkData(requirementData(result, configuration), check, configuration),
        });
  },
});
