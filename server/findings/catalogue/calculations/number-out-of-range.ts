import { rule } from '../../rule.js';

export default rule({
  code: 'number-out-of-range',
  severity: 'error',
  title: 'A number is too large',
  message:
    'This number is beyond what can be calculated with, about 1.8e308 in SI units. Correct its exponent or its unit.',
});
