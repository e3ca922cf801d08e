import { here } from '../../fixes.js';
import { rule } from '../../rule.js';

export default rule({
  code: 'point-negated',
  severity: 'error',
  title: 'A temperature is negated',
  message:
    "A point of temperature can't be negated. Subtract two temperatures, or use absolute(T) for the kelvin above zero.",
  fix: (_found, text) => here('Take the kelvin above absolute zero', `-absolute(${text.replace(/^-\s*/, '')})`),
});
