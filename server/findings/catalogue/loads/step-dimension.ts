import { rule } from '../../rule.js';

export default rule({
  code: 'step-dimension',
  severity: 'error',
  title: 'A step has the wrong dimension',
  message: 'The step must be {wanted}, like the range it divides.',
});
