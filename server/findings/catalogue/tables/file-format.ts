import { rule } from '../../rule.js';

export default rule({
  code: 'file-format',
  severity: 'error',
  title: 'How a file is written is said wrongly',
  message: '{message}',
});
