import { rule } from '../../rule.js';

export default rule({
  code: 'argument-dimension',
  severity: 'error',
  title: 'An argument has the wrong dimension',
  message: '{name} of {of} is {wanted}, here is {found}.',
});
