import type { UnitRow } from './row.js';

/** Force and acceleration. Standard gravity is exact: 9.80665 m/s² (CGPM 1901). */
export const FORCE: readonly UnitRow[] = [
  { symbol: 'g0', name: 'standard gravity', is: '9.80665 m/s^2', prefixes: 'n µ m' },
  { symbol: 'N', name: 'newton', is: '1 kg*m/s^2', prefixes: 'n µ m da k M G' },
  { symbol: 'dyn', name: 'dyne', is: '1e-5 N' },
  { symbol: 'kgf', name: 'kilogram-force', is: '1 kg*g0' },
  { symbol: 'gf', name: 'gram-force', is: '0.001 kgf' },
  { symbol: 'lbf', name: 'pound-force', is: '1 lbm*g0' },
  { symbol: 'ozf', name: 'ounce-force', is: '1/16 lbf' },
  { symbol: 'kip', name: 'kip, a thousand pounds-force', is: '1000 lbf', spellings: ['klbf'] },
  { symbol: 'Gal', name: 'galileo', is: '0.01 m/s^2', prefixes: 'm' },
];
