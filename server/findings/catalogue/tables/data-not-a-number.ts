import { rule } from '../../rule.js';

export default rule({
  code: 'data-not-a-number',
  severity: 'error',
  title: 'A cell of a file holds no number',
  message: '{name}, row {row}: {column} holds no number.',
});
