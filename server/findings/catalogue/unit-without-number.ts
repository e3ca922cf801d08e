import { rule } from '../rule.js';

export default rule({
  code: 'unit-without-number', severity: 'error', title: 'A unit stands alone',
  message: '{unit} is a unit and stands without a number. Write 1 {unit} for one of it.',
});
