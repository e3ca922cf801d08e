import { rule } from '../../rule.js';

export default rule({
  code: 'argument-twice',
  severity: 'error',
  title: 'An argument is given twice',
  message: '{name} is given twice here. Remove one of them.',
});
