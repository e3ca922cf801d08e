import { rule } from '../rule.js';

export default rule({
  code: 'number-expected',
  severity: 'error',
  title: 'A number is due',
  message: 'A quantity is due here, not {found}.',
});
