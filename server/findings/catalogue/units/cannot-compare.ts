import { rule } from '../../rule.js';

export default rule({
  code: 'cannot-compare',
  severity: 'error',
  title: 'Quantities of different dimension are compared',
  message: "These can't be compared: {left} and {right}. Is a factor or a unit missing on one side?",
});
