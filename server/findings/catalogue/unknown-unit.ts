import { rule } from '../rule.js';

export default rule({
  code: 'unknown-unit', severity: 'error', title: 'A unit is not known',
  message: '{message}',
});
