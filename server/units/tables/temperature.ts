import { dimension } from '../dimensions/dimension.js';
import type { UnitRow } from './row.js';

/**
 * Temperature. `degC` and `degF` alone are points of a scale, in a compound unit differences; the others are
 * always differences. NIST SP 811 (2008), section 8.5 and appendix B.
 */
export const TEMPERATURE: readonly UnitRow[] = [
  { symbol: 'K', name: 'kelvin', is: dimension({ temperature: 1 }), prefixes: 'n µ m k' },
  { symbol: 'degC', name: 'degree Celsius', is: '1 K', offset: '273.15', spellings: ['°C', '℃'] },
  { symbol: 'degF', name: 'degree Fahrenheit', is: '5/9 K', offset: '459.67', spellings: ['°F', '℉'] },
  { symbol: 'dC', name: 'difference of a degree Celsius', is: '1 K' },
  { symbol: 'dF', name: 'difference of a degree Fahrenheit', is: '5/9 K' },
  { symbol: 'degR', name: 'degree Rankine', is: '5/9 K', spellings: ['°R'] },
];
