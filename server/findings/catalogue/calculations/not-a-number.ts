import { rule } from '../../rule.js';

export default rule({
  code: 'not-a-number',
  severity: 'error',
  title: 'A result is no number',
  message: 'A calculation in {where} has no value: an operation has no result for its inputs.',
});
