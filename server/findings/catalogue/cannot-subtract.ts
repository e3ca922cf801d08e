import { rule } from '../rule.js';

export default rule({
  code: 'cannot-subtract', severity: 'error', title: 'Quantities of different dimension are subtracted',
  message: "{right} can't be subtracted from {left}. Is a factor or a unit missing?",
});
