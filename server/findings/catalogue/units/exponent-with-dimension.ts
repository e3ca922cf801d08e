import { rule } from '../../rule.js';

export default rule({
  code: 'exponent-with-dimension',
  severity: 'error',
  title: 'An exponent has a dimension',
  message: 'The exponent is {found}; it must be a plain number.',
});
