import { rule } from '../../rule.js';

export default rule({
  code: 'equality-of-quantities',
  severity: 'warning',
  title: 'Quantities are compared for equality',
  message:
    'Two calculated quantities are hardly ever equal to the last digit. Compare with <= or >=, or with a range such as lo <= x <= hi.',
});
