import { rule } from '../../rule.js';

export default rule({
  code: 'index-expected',
  severity: 'error',
  title: 'An index is due',
  message: 'An index is a whole number from 1 on (or a name where the list has names), not {found}.',
});
