import { rule } from '../../rule.js';

export default rule({
  code: 'logarithm-of-nonpositive',
  severity: 'error',
  title: 'The logarithm of zero or less',
  message: '{where} takes the logarithm of a number that is not above zero.',
});
