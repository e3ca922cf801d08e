import { rule } from '../rule.js';

export default rule({
  code: 'cannot-add', severity: 'error', title: 'Quantities of different dimension are added',
  message: ({ left, right }) => `${left} and ${right} can't be added. Is a factor or a unit missing?`,
});
