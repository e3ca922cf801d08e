import { rule } from '../../rule.js';

export default rule({
  code: 'cannot-repeat',
  severity: 'error',
  title: 'A value cannot be repeated',
  message: "This value can't be repeated as independent items. Name it with let and repeat that.",
});
