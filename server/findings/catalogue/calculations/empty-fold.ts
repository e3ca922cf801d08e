import { rule } from '../../rule.js';

export default rule({
  code: 'empty-fold',
  severity: 'error',
  title: 'There is nothing to take it of',
  message: '{name} has nothing to work on: the list is empty. Loosen its where, or correct what it runs over.',
});
