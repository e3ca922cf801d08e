import { rule } from '../../rule.js';

export default rule({
  code: 'argument-count',
  severity: 'error',
  title: 'The number of arguments is wrong',
  message: '{name} takes {wanted}, here are {found}.',
});
