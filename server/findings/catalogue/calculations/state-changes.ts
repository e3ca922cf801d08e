import { rule } from '../../rule.js';

export default rule({
  code: 'state-changes',
  severity: 'error',
  title: 'The state of a fold changes its kind',
  message:
    '{name} is {before} before a case and {after} behind it. A state stays of one kind and dimension: correct what it begins with, or what is calculated.',
});
