import { at, rule, type Found } from '../rule.js';
import { checkData } from '../requirement-data.js';

export default rule({
  code: 'failing-margin', severity: 'error', title: 'A check fails',
  message: '{label} fails{mode}{case}: {applied} against {allowable}, margin {margin}{configuration}. Strengthen it, lower the load, or state a waiver with its terms.',
  *onRequirement(result, configuration): Iterable<Found> {
    if (result.waiver) return;
    for (const check of result.checks) if (check.passes === false && check.governing) yield { code: 'failing-margin', place: at(check.item, check.item.condition.id), data: checkData(result, check, configuration) };
  },
});
