import { rule } from '../../rule.js';

export default rule({
  code: 'root-of-negative',
  severity: 'error',
  title: 'The root of a negative number',
  message: '{where} takes the square root of a negative number.',
});
