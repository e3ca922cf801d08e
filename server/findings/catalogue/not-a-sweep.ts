import { rule } from '../rule.js';

export default rule({
  code: 'not-a-sweep', severity: 'error', title: 'This cannot be swept',
  message: "{found} can't be swept. Sweep a list, a load, rows of a file, a range with step, corners(…) or knots(…).",
});
