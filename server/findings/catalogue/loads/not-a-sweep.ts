import { rule } from '../../rule.js';

export default rule({
  code: 'not-a-sweep',
  severity: 'error',
  title: 'This cannot be swept',
  message:
    'A sweep runs over a list, a load, rows of a file, a range with a step, corners(…) or knots(…), not over {found}.',
});
