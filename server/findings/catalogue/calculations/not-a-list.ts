import { rule } from '../../rule.js';

export default rule({
  code: 'not-a-list',
  severity: 'error',
  title: 'A list is due',
  message: 'A list is due here, not {found}.',
});
