import { at, rule, type Found } from '../rule.js';
import { factorsOfCheck, requirementData } from '../requirement-data.js';

export default rule({
  code: 'factor-doubled', severity: 'warning', title: 'A factor is multiplied in twice',
  message: '{factor} is multiplied in {times} times on the way to {label}{mode}. Leave it out of the check, or out of what the check reads.',
  *onRequirement(result, configuration): Iterable<Found> {
    for (const check of result.checks) {
      for (const use of factorsOfCheck(configuration, check)) {
        if (use.times > 1) yield { code: 'factor-doubled', place: at(check.item, check.item.condition.id), data: { ...requirementData(result, configuration), mode: check.item.mode ? ` in ${check.item.mode}` : '', factor: `${use.entity.name}.${use.item.name}`, times: String(use.times) } };
      }
    }
  },
});
