import { rule } from '../../rule.js';

export default rule({
  code: 'maturity-unknown',
  severity: 'error',
  title: 'A maturity is not in the growth table',
  message: '{table} has no row {maturity}. It has: {known}.',
});
