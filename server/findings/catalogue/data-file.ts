import { rule } from '../rule.js';

export default rule({
  code: 'data-file',
  severity: 'error',
  title: 'A data file cannot be read',
  message: '{path}: {message}',
});
