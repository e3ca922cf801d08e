import { rule } from '../../rule.js';

export default rule({
  code: 'cannot-add',
  severity: 'error',
  title: 'Quantities of different dimension are added',
  message: "These can't be added: {left} and {right}. Is a factor or a unit missing?",
});
