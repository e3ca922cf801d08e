import { rule } from '../../rule.js';

export default rule({
  code: 'field-dimension',
  severity: 'error',
  title: 'A field has the wrong dimension',
  message: '{field} must be {wanted}, and this is {found}.',
});
