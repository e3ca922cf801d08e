import { rule } from '../../rule.js';

export default rule({
  code: 'division-by-zero',
  severity: 'error',
  title: 'A division by zero',
  message: '{where} divides by zero. Correct the divisor, or guard it with if … then … else.',
});
