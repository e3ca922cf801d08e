import { rule } from '../rule.js';

export default rule({
  code: 'cannot-compare-kinds', severity: 'error', title: 'Things of different kind are compared',
  message: "{left} can't be compared with {right}.",
});
