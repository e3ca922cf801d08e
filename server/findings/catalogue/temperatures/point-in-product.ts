import { here } from '../../fixes.js';
import { rule } from '../../rule.js';

export default rule({
  code: 'point-in-product',
  severity: 'error',
  title: 'A temperature is multiplied or divided',
  message:
    'A point of temperature is multiplied or divided. Subtract a reference from it (T - 20 degC), or use absolute(T).',
  fix: (_found, text) => here('Take the kelvin above absolute zero', `absolute(${text})`),
});
