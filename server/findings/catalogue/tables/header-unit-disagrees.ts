import { rule } from '../../rule.js';

export default rule({
  code: 'header-unit-disagrees',
  severity: 'error',
  title: 'The header of a column names another unit',
  message: '{column} is read as {stated}, but its header says {unit}: "{header}". Correct the one that is wrong.',
});
