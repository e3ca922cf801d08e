import { rule } from '../rule.js';

export default rule({
  code: 'argument-missing', severity: 'error', title: 'An argument is missing',
  message: '{of} needs {name}, and no value is given for it.',
});
