import { rule } from '../rule.js';

export default rule({
  code: 'worst-case-not-bounded',
  severity: 'error',
  title: 'The worst case is not found',
  message:
    'The worst case of the tolerances could not be bounded: too many sources, or a function without bounds between their ends. Split the check, or choose nominal(x), low(x) or high(x).',
});
