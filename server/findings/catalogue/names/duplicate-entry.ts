import { rule } from '../../rule.js';

export default rule({
  code: 'duplicate-entry',
  severity: 'error',
  title: 'An entry stands twice',
  message: '{name} stands twice here. Remove one of them.',
});
