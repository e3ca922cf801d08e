import { isCalendarDate } from '../../../base/index.js';
import { at, rule } from '../../rule.js';
import { saidIn } from '../../../model/statements.js';

export default rule({
  code: 'not-a-date',
  severity: 'error',
  title: 'The calendar has no such day',
  message:
    '{text} is no day of the calendar, and nothing rests on it. Write the year, the month and the day, as in 2027-04-20.',
  onDeclaration(report, entity): void {
    for (const { date } of saidIn(entity.declaration, 'checkedBy'))
      if (date !== null && !isCalendarDate(date))
        report({ code: 'not-a-date', place: at(entity.declaration), data: { text: date } });
  },
});
