import { dimension } from '../dimensions/dimension.js';
import type { UnitRow } from './row.js';

/** Length, area, volume. The international inch is exact: NIST SP 811 (2008), appendix B. */
export const LENGTH: readonly UnitRow[] = [
  { symbol: 'm', name: 'metre', is: dimension({ length: 1 }), prefixes: 'f p n µ m c d k M G' },
  { symbol: 'in', name: 'inch', is: '0.0254 m' },
  { symbol: 'ft', name: 'foot', is: '12 in' },
  { symbol: 'yd', name: 'yard', is: '3 ft' },
  { symbol: 'mi', name: 'mile', is: '5280 ft' },
  { symbol: 'nmi', name: 'nautical mile', is: '1852 m' },
  { symbol: 'mil', name: 'mil, a thousandth of an inch', is: '0.001 in' },
  { symbol: 'thou', name: 'thou, a thousandth of an inch', is: '0.001 in' },
  { symbol: 'angstrom', name: 'ångström', is: '1e-10 m', spellings: ['Å', '\u212b'] },
  { symbol: 'L', name: 'litre', is: '0.001 m^3', prefixes: 'n µ m c d', spellings: ['l'] },
  { symbol: 'gal', name: 'US gallon', is: '231 in^3' },
];
