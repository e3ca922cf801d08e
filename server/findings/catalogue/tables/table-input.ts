import { rule } from '../../rule.js';

export default rule({
  code: 'table-input',
  severity: 'error',
  title: 'A table is asked with the wrong thing',
  message: 'This table is asked with {found}; it takes {wanted}.',
});
