import { rule } from '../../rule.js';

export default rule({
  code: 'condition-expected',
  severity: 'error',
  title: 'A condition is due',
  message: 'A condition such as a <= b is due here, not {found}.',
});
