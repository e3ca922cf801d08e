import { rule } from '../../rule.js';

export default rule({
  code: 'branches-differ',
  severity: 'error',
  title: 'Both branches differ in dimension',
  message: 'One branch is {left}, the other {right}: both must have the same dimension.',
});
