import { rule } from '../../rule.js';

export default rule({
  code: 'table-values-differ',
  severity: 'error',
  title: 'The values of a table differ',
  message: 'This value is not of the kind of the first one: all values of a table have one dimension.',
});
