import { rule } from '../../rule.js';

export default rule({
  code: 'angle-against-cycles',
  severity: 'error',
  title: 'Angle per time against cycles per time',
  message:
    '{left} and {right} differ by 2π: one counts angle, the other cycles. Convert one: divide rad/s by 2 * pi, or write revolutions per second as Hz.',
});
