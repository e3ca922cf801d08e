import { rule } from '../rule.js';

export default rule({
  code: 'cannot-convert', severity: 'error', title: 'A value cannot be shown in a unit',
  message: "{found} can't be shown in {unit}, which is a unit of {wanted}.",
});
