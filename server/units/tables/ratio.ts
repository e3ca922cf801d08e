import { DIMENSIONLESS } from '../dimensions/dimension.js';
import type { UnitRow } from './row.js';

/** Ratios. An octave is the base-2 logarithm of a frequency ratio, so that `4 oct/min` is a sweep rate. */
export const RATIO: readonly UnitRow[] = [
  { symbol: '%', name: 'per cent', is: '0.01 cycle' },
  { symbol: 'ppm', name: 'part per million', is: '1e-6 cycle' },
  { symbol: 'ppb', name: 'part per billion', is: '1e-9 cycle' },
  { symbol: 'oct', name: 'octave', is: DIMENSIONLESS, sense: 'octave' },
];
