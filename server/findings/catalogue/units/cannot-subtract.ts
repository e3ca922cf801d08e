import { rule } from '../../rule.js';

export default rule({
  code: 'cannot-subtract',
  severity: 'error',
  title: 'Quantities of different dimension are subtracted',
  message: "These can't be subtracted: {left} and {right}. Is a factor or a unit missing?",
});
