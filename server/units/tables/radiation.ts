import type { UnitRow } from './row.js';

/** Radiation. The rad of absorbed dose is `rd`, because `rad` is the angle. */
export const RADIATION: readonly UnitRow[] = [
  { symbol: 'Gy', name: 'gray', is: '1 J/kg', prefixes: 'µ m c k M' },
  { symbol: 'rd', name: 'rad of absorbed dose', is: '0.01 Gy', prefixes: 'µ m k M' },
  { symbol: 'Sv', name: 'sievert', is: '1 J/kg', prefixes: 'µ m' },
  { symbol: 'rem', name: 'rem', is: '0.01 Sv', prefixes: 'm k' },
  { symbol: 'Bq', name: 'becquerel', is: '1 1/s', prefixes: 'm k M G T' },
  { symbol: 'Ci', name: 'curie', is: '37000000000 Bq', prefixes: 'n µ m' },
];
