import { rule } from '../../rule.js';

export default rule({
  code: 'dimensionless-expected',
  severity: 'error',
  title: 'A plain number is due',
  message: '{name} takes a plain number or an angle, here is {found}. Divide by a reference quantity.',
});
