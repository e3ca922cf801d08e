import { rule } from '../../rule.js';

export default rule({
  code: 'not-evaluated-yet',
  severity: 'warning',
  title: 'This is not calculated yet',
  message: '{name} is read and checked, but this version does not calculate it: what needs it is undetermined.',
});
