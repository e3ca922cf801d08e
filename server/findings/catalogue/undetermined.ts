import type { CheckResult } from '../../engine/margin.js';
import { caseName } from '../../engine/margin.js';
import { reasonOf } from '../../engine/reasons.js';
import { at, rule, type ConfigurationView, type Report } from '../rule.js';
import { requirementData, strayCheck, type CheckData } from '../requirement-data.js';

export default rule({
  code: 'undetermined',
  severity: 'error',
  title: 'A check has no result',
  message: '{label} is undetermined{mode}{case}{configuration}. {why}',
  onRequirement(report, result, configuration): void {
    for (const check of result.checks)
      undetermined(report, check, requirementData(result, configuration), configuration);
  },
  onCell(report, cell, configuration): void {
    const stray = strayCheck(cell, configuration);
    if (stray) undetermined(report, stray.check, stray.data, configuration);
  },
});

function undetermined(report: Report, check: CheckResult, data: CheckData, configuration: ConfigurationView): void {
  if (check.passes !== null || check.item.condition.kind === 'missing') return;
  const reason = reasonOf(check);
  // What is wrong in the check itself is said there already.
  if (
    check.cell.problems.some(
      problem => !reason || (problem.code === reason.code && problem.place.owner === reason.place?.owner),
    )
  )
    return;
  const row = check.rows.find(candidate => candidate.passes === null)?.row;
  const name = row ? caseName(configuration.evaluation, row) : '';
  report({
    code: 'undetermined',
    place: at(check.item, check.item.condition.id),
    ...(reason ? { cause: reason } : {}),
    data: {
      ...data,
      mode: check.item.mode ? ` in ${check.item.mode}` : '',
      case: name ? ` in ${name}` : '',
      cause: reason?.code ?? '',
      why: reason ? '' : 'What it reads has an error.',
    },
    ...(reason?.place ? { related: [{ place: reason.place, message: 'The cause is here.' }] } : {}),
  });
}
