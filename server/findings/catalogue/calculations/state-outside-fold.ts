import { rule } from '../../rule.js';

export default rule({
  code: 'state-outside-fold',
  severity: 'error',
  title: 'A state stands outside of a fold',
  message:
    '{name} has a value at first and runs over nothing, which only a fold knows what to do with. Write {name} in …, or fold(…).',
});
