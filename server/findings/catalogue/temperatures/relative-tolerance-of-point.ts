import { rule } from '../../rule.js';

export default rule({
  code: 'relative-tolerance-of-point',
  severity: 'error',
  title: 'A percentage of a temperature',
  message: 'A percentage of a temperature on a scale means nothing: give the tolerance in K.',
});
