import { rule } from '../../rule.js';

export default rule({
  code: 'table-expected',
  severity: 'error',
  title: 'A table is due',
  message: '{name} takes a table of one input, not {found}.',
});
