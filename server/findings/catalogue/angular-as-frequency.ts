import { rule } from '../rule.js';

export default rule({
  code: 'angular-as-frequency', severity: 'warning', title: 'An angular rate is shown as a frequency',
  message: '{from} is shown as {to} without the factor 2π: 1 Hz is 2π rad/s. Divide by 2 * pi, or keep rad/s.',
});
