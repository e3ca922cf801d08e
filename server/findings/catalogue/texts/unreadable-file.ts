import { rule } from '../../rule.js';

export default rule({
  code: 'unreadable-file',
  severity: 'error',
  title: 'A file cannot be read',
  message: '{message}',
});
