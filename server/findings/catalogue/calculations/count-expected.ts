import { rule } from '../../rule.js';

export default rule({
  code: 'count-expected',
  severity: 'error',
  title: 'A number of items is due',
  message: 'The number of items is {found}; it must be a whole number from 1 to 1000.',
});
