import type { CheckResult } from '../../../engine/margin.js';
import { holdsCalculated, type Cell } from '../../../engine/evaluation/cell.js';
import { caseName } from '../../../engine/margin.js';
import { reasonOf } from '../../../engine/reasons.js';
import type { Reason } from '../../../engine/values/value.js';
import { walk } from '../../../model/expression.js';
import { causesOf } from '../../causes.js';
import { at, rule, type ConfigurationView, type Report } from '../../rule.js';
import { requirementData, strayCheck, type CheckData } from '../../requirement-data.js';

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
  if (isToldElsewhere(check.cell, reason, configuration)) return;
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

/** Whether the cause is a finding where it stands, in the check itself or in what it reads: one cause, one finding. */
function isToldElsewhere(check: Cell, reason: Reason | null, { evaluation }: ConfigurationView): boolean {
  if (!reason) return [check, ...readBy(check)].some(cell => cell.problems.length > 0 || lacksPart(cell.item));
  // A part is told once that its position is missing, for all that asks for the centre of mass.
  if (reason.code === 'position-missing' && reason.place) return true;
  const isCause = ({ code, place }: Pick<Reason, 'code' | 'place'>): boolean =>
    code === reason.code && place?.owner === reason.place?.owner;
  if (check.problems.some(isCause)) return true;
  return [...readBy(check)].some(
    cell => holdsCalculated(cell) && [...cell.problems, ...causesOf(evaluation, cell)].some(isCause),
  );
}

/** Whether part of a value isn't there: what the syntax asks for is told at its place. */
function lacksPart(item: Cell['item']): boolean {
  const expression = item && ('value' in item ? item.value : 'condition' in item ? item.condition : null);
  let lacks = false;
  if (expression) walk(expression, node => (lacks ||= node.kind === 'missing'));
  return lacks;
}

/** What a check reads, directly or by others. */
function readBy(check: Cell): ReadonlySet<Cell> {
  const cells = new Set(check.reads);
  for (const cell of cells) for (const read of cell.reads) cells.add(read);
  return cells;
}
