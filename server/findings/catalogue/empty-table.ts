import { rule } from '../rule.js';

export default rule({
  code: 'empty-table',
  severity: 'error',
  title: 'A table has no rows',
  message: 'This table has no rows.',
});
