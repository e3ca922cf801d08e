import { at, rule, type Found } from '../rule.js';
import { checkData, requirementData, strayCheck, type CheckData } from '../requirement-data.js';
import type { CheckResult } from '../../engine/margin.js';
import type { ConfigurationView } from '../rule.js';

export default rule({
  code: 'failing-margin', severity: 'error', title: 'A check fails',
  message: '{label} fails{mode}{case}: {applied} against {allowable}, margin {margin}{configuration}. Strengthen it, lower the load, or state a waiver with its terms.',
  *onRequirement(result, configuration): Iterable<Found> {
    if (!result.waiver) for (const check of result.checks) yield* failing(check, requirementData(result, configuration), configuration);
  },
  *onCell(cell, configuration): Iterable<Found> {
    const stray = strayCheck(cell, configuration);
    if (stray) yield* failing(stray.check, stray.data, configuration);
  },
});

function* failing(check: CheckResult, data: CheckData, configuration: ConfigurationView): Iterable<Found> {
  if (check.passes === false && check.governing) yield { code: 'failing-margin', place: at(check.item, check.item.condition.id), data: checkData(data, check, configuration) };
}
