import { rule } from '../../rule.js';

export default rule({
  code: 'table-logarithm',
  severity: 'error',
  title: 'A logarithmic table holds zero or less',
  message: 'A {interpolation} table has no value here: its keys, and for loglog its values, must be above zero.',
});
