import { rule } from '../../rule.js';

export default rule({
  code: 'range-in-arithmetic',
  severity: 'error',
  title: 'A range is calculated with',
  message:
    "A range can't stand beside {operator}: name one end (.low, .high), or sweep it with corners(…) or knots(…).",
});
