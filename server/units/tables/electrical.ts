import { dimension } from '../dimensions/dimension.js';
import type { UnitRow } from './row.js';

/** Electricity and magnetism. Coulomb and farad leave out `d`: `dC` and `dF` are temperature differences. */
export const ELECTRICAL: readonly UnitRow[] = [
  { symbol: 'A', name: 'ampere', is: dimension({ current: 1 }), prefixes: 'p n µ m k M' },
  { symbol: 'C', name: 'coulomb', is: '1 A*s', prefixes: 'f p n µ m k' },
  { symbol: 'Ah', name: 'ampere hour', is: '1 A*h', prefixes: 'm k' },
  { symbol: 'V', name: 'volt', is: '1 W/A', prefixes: 'n µ m k M' },
  { symbol: 'Ω', name: 'ohm', is: '1 V/A', prefixes: 'µ m k M G T', spellings: ['ohm'] },
  { symbol: 'S', name: 'siemens', is: '1 A/V', prefixes: 'n µ m' },
  { symbol: 'F', name: 'farad', is: '1 C/V', prefixes: 'f p n µ m' },
  { symbol: 'H', name: 'henry', is: '1 V*s/A', prefixes: 'n µ m' },
  { symbol: 'Wb', name: 'weber', is: '1 V*s', prefixes: 'µ m' },
  { symbol: 'T', name: 'tesla', is: '1 Wb/m^2', prefixes: 'n µ m' },
];
