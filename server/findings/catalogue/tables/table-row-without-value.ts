import { rule } from '../../rule.js';

export default rule({
  code: 'table-row-without-value',
  severity: 'error',
  title: 'A row of a table has no value',
  message: "This entry has a key without '-> value', while others have one.",
});
