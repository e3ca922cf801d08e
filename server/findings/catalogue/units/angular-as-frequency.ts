import { here } from '../../fixes.js';
import { rule } from '../../rule.js';

export default rule({
  code: 'angular-as-frequency',
  severity: 'error',
  title: 'An angular rate is shown as a frequency',
  message: '{from} is shown as {to} without the factor 2π: 1 Hz is 2π rad/s. Divide by 2 * pi, or keep rad/s.',
  fix: (_found, text) => {
    const [, value, unit] = /^(.*\S)\s+as\s+(\S+)$/s.exec(text) ?? [];
    return value && unit ? here('Divide by 2π', `(${value}) / (2 * pi) as ${unit}`) : null;
  },
});
