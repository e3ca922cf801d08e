import { rule } from '../rule.js';

export default rule({
  code: 'cannot-compare', severity: 'error', title: 'Quantities of different dimension are compared',
  message: "{left} can't be compared with {right}. Is a factor or a unit missing on one side?",
});
