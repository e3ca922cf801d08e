import { rule } from '../../rule.js';

export default rule({
  code: 'point-subtracted-from-difference',
  severity: 'error',
  title: 'A temperature is subtracted from a difference',
  message:
    "A point of temperature can't be subtracted from a difference. Turn the order round, or write the difference in K.",
});
