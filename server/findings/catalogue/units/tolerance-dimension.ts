import { rule } from '../../rule.js';

export default rule({
  code: 'tolerance-dimension',
  severity: 'error',
  title: 'A tolerance has another dimension',
  message:
    'The tolerance is {found}, the value {wanted}: both need the same dimension, or the tolerance is a percentage.',
});
