import { rule } from '../../rule.js';

export default rule({
  code: 'sweep-undetermined',
  severity: 'error',
  title: 'The range of a sweep is not known',
  message:
    'An end or the step of this range has no value, or the step is not above zero, so there is nothing to sweep.',
});
