import { reasonOf } from '../../../engine/reasons.js';
import { rule } from '../../rule.js';

export default rule({
  code: 'position-missing',
  severity: 'error',
  title: 'A part has no position',
  message:
    '{part} has a mass and no position, so the centre of mass of what it stands in is not known. Give position = (x, y, z) mm.',
  onRequirement(report, { checks }): void {
    for (const check of checks) {
      const reason = check.passes === null ? reasonOf(check) : null;
      if (reason?.code === 'position-missing' && reason.place)
        report({ code: reason.code, place: reason.place, data: reason.data });
    }
  },
});
