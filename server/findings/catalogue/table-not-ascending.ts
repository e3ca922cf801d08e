import { rule } from '../rule.js';

export default rule({
  code: 'table-not-ascending', severity: 'error', title: 'The keys of a table do not rise',
  message: 'This key is not larger than the one before it. Put the rows in ascending order.',
});
