import type { UnitRow } from './row.js';

/** Pressure and stress. Columns of liquid are the conventional ones of NIST SP 811 (2008), appendix B. */
export const PRESSURE: readonly UnitRow[] = [
  { symbol: 'Pa', name: 'pascal', is: '1 N/m^2', prefixes: 'n µ m h k M G T' },
  { symbol: 'bar', name: 'bar', is: '100000 Pa', prefixes: 'µ m k' },
  { symbol: 'atm', name: 'standard atmosphere', is: '101325 Pa' },
  { symbol: 'Torr', name: 'torr', is: '1/760 atm', prefixes: 'n µ m' },
  { symbol: 'mmHg', name: 'millimetre of mercury, conventional', is: '133.322387415 Pa' },
  { symbol: 'inHg', name: 'inch of mercury, conventional', is: '25.4 mmHg' },
  { symbol: 'inH2O', name: 'inch of water, conventional', is: '249.08891 Pa' },
  { symbol: 'psi', name: 'pound-force per square inch', is: '1 lbf/in^2' },
  { symbol: 'ksi', name: 'thousand pounds-force per square inch', is: '1000 psi' },
  { symbol: 'Msi', name: 'million pounds-force per square inch', is: '1000000 psi' },
  { symbol: 'psf', name: 'pound-force per square foot', is: '1 lbf/ft^2' },
  { symbol: 'P', name: 'poise', is: '0.1 Pa*s', prefixes: 'c' },
  { symbol: 'St', name: 'stokes', is: '0.0001 m^2/s', prefixes: 'c' },
];
