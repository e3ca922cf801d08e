import { rule } from '../../rule.js';

export default rule({
  code: 'expression-too-deep',
  severity: 'error',
  title: 'A calculation is nested too deeply',
  message:
    'This calculation is nested too deeply, as a sum of a thousand terms is. Split it with let, or take the sum of a list.',
});
