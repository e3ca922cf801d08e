import { rule } from '../../rule.js';

export default rule({
  code: 'table-keys-differ',
  severity: 'error',
  title: 'The keys of a table differ',
  message: 'This key is not of the kind of those before it: all keys of a table have one dimension, or all are texts.',
});
