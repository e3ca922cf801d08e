import { rule } from '../../rule.js';

export default rule({
  code: 'too-many-corners',
  severity: 'error',
  title: 'A load has too many corners',
  message:
    'This load has more than {most} combinations of signs and directions. Keep the ranges that matter as ranges, and give the others one value.',
});
