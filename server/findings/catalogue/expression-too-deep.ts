import { rule } from '../rule.js';

export default rule({
  code: 'expression-too-deep', severity: 'error', title: 'A calculation is nested too deeply',
  message: 'This calculation is nested more than 2000 levels deep. Split it with let.',
});
