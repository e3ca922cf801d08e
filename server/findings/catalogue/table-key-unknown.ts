import { rule } from '../rule.js';

export default rule({
  code: 'table-key-unknown', severity: 'error', title: 'A table has no such key',
  message: 'This table has no row "{key}". It has: {known}.',
});
