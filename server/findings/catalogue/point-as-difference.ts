import { rule } from '../rule.js';

export default rule({
  code: 'point-as-difference', severity: 'error', title: 'A point of temperature is shown as a difference',
  message: "A point of temperature can't be shown in {unit}, which is a difference. Use degC, or absolute(T) as {unit}.",
});
