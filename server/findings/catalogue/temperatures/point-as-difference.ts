import { here } from '../../fixes.js';
import { rule } from '../../rule.js';

export default rule({
  code: 'point-as-difference',
  severity: 'error',
  title: 'A point of temperature is shown as a difference',
  message:
    "A point of temperature can't be shown in {unit}, which is a difference. Use degC, or absolute(T) as {unit}.",
  fix: (_found, text) => {
    const [, value, unit] = /^(.*\S)\s+as\s+(\S+)$/s.exec(text) ?? [];
    return value && unit ? here('Take the kelvin above absolute zero', `absolute(${value}) as ${unit}`) : null;
  },
});
