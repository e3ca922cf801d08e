/** Why a check has no result. */
import type { Cell } from './evaluation/cell.js';
import type { CheckResult } from './margin.js';
import type { Problem } from './elaboration/elaboration.js';
import type { Reason } from './values/value.js';

/** What left a check undetermined: in the row that governs, in another, or in what it reads. */
export function reasonOf(check: CheckResult): Reason | null {
  if (check.passes !== null) return null;
  // Rows are made anew for whoever asks: what was found with the result may be worded otherwise by now.
  const row = check.rows.find(each => each.passes === null && (each.reason ?? each.row.reason));
  return row?.reason ?? row?.row.reason ?? firstProblem(check.cell);
}

/** The nearest error in a cell or in what it reads. */
export function firstProblem(cell: Cell): Problem | null {
  const seen = new Set([cell]);
  for (const at of seen) {
    if (at.problems[0]) return at.problems[0];
    for (const read of at.reads) seen.add(read);
  }
  return null;
}
