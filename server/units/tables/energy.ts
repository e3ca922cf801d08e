import { dimension } from '../dimensions/dimension.js';
import type { UnitRow } from './row.js';

/** Energy, power, heat, light. `BTU` is the International Table unit, `cal` the thermochemical calorie. */
export const ENERGY: readonly UnitRow[] = [
  { symbol: 'J', name: 'joule', is: '1 N*m', prefixes: 'n µ m k M G', sense: 'energy' },
  { symbol: 'W', name: 'watt', is: '1 J/s', prefixes: 'n µ m k M G' },
  { symbol: 'Wh', name: 'watt hour', is: '1 W*h', prefixes: 'm k M', sense: 'energy' },
  { symbol: 'erg', name: 'erg', is: '1e-7 J', sense: 'energy' },
  { symbol: 'BTU', name: 'British thermal unit (IT)', is: '1055.05585262 J', spellings: ['Btu'], sense: 'energy' },
  { symbol: 'cal', name: 'calorie (thermochemical)', is: '4.184 J', prefixes: 'k', sense: 'energy' },
  { symbol: 'eV', name: 'electronvolt', is: '1.602176634e-19 J', prefixes: 'm k M G T', sense: 'energy' },
  { symbol: 'hp', name: 'horsepower', is: '550 ft*lbf/s' },
  { symbol: 'cd', name: 'candela', is: dimension({ luminosity: 1 }), prefixes: 'm k' },
  { symbol: 'lm', name: 'lumen', is: '1 cd*sr', prefixes: 'm k' },
  { symbol: 'lx', name: 'lux', is: '1 lm/m^2', prefixes: 'm k' },
];
