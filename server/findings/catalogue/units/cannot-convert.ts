import { rule } from '../../rule.js';

export default rule({
  code: 'cannot-convert',
  severity: 'error',
  title: 'A value cannot be shown in a unit',
  message: '{unit} is a unit of {wanted}; this is {found}.',
});
