import { at, rule, type Found } from '../rule.js';
import { requirementData } from '../requirement-data.js';

export default rule({
  code: 'unused-binder', severity: 'warning', title: 'A swept name is not used',
  message: '{label} sweeps {name}{mode} and does not use it: every row comes out the same. Use it in the check, or leave it out.',
  *onRequirement(result, configuration): Iterable<Found> {
    for (const check of result.checks) {
      if (!check.cell.plan?.complete || check.rowCount === 0 || check.cell.problems.length > 0) continue;
      for (const binder of check.item.binders) {
        if (!check.cell.usedBinders.has(binder.id)) yield { code: 'unused-binder', place: at(check.item, binder.id), data: { ...requirementData(result, configuration), configuration: '', name: binder.name, mode: check.item.mode ? ` in ${check.item.mode}` : '' } };
      }
    }
  },
});
