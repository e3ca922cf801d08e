import { rule } from '../rule.js';

export default rule({
  code: 'syntax',
  severity: 'error',
  title: 'The text cannot be read',
  message: '{message}',
});
