import type { CheckResult } from '../../../engine/margin.js';
import { reasonOf } from '../../../engine/reasons.js';
import { strayCheck } from '../../requirement-data.js';
import { rule, type Report } from '../../rule.js';

/** Told once at the part, for all that asks for the centre of mass. */
export default rule({
  code: 'position-missing',
  severity: 'error',
  title: 'A part has no position',
  message:
    '{part} has a mass and no position, so the centre of mass of what it stands in is not known. Give position = (x, y, z) mm.',
  onRequirement(report, { checks }): void {
    for (const check of checks) missing(report, check);
  },
  onCell(report, cell, configuration): void {
    const stray = strayCheck(cell, configuration);
    if (stray) missing(report, stray.check);
  },
});

function missing(report: Report, check: CheckResult): void {
  const reason = check.passes === null ? reasonOf(check) : null;
  if (reason?.code === 'position-missing' && reason.place)
    report({ code: reason.code, place: reason.place, data: reason.data });
}
