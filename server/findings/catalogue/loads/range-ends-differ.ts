import { rule } from '../../rule.js';

export default rule({
  code: 'range-ends-differ',
  severity: 'error',
  title: 'The ends of a range differ in dimension',
  message: 'A range from {left} to {right} makes no sense: both ends need the same dimension.',
});
