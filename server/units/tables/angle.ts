import { DIMENSIONLESS } from '../dimensions/dimension.js';
import type { UnitRow } from './row.js';

/** Angle, a number. One revolution is 2π; a cycle is a count and 1. */
export const ANGLE: readonly UnitRow[] = [
  { symbol: 'rad', name: 'radian', is: DIMENSIONLESS, prefixes: 'n µ m', sense: 'angular' },
  { symbol: 'sr', name: 'steradian', is: DIMENSIONLESS, prefixes: 'µ m' },
  { symbol: 'deg', name: 'degree', is: '1/180 rad', pi: true, spellings: ['°'], sense: 'angular' },
  { symbol: 'arcmin', name: 'minute of arc', is: '1/60 deg', spellings: ['′'], sense: 'angular' },
  { symbol: 'arcsec', name: 'second of arc', is: '1/3600 deg', prefixes: 'µ m', spellings: ['″'], sense: 'angular' },
  { symbol: 'rev', name: 'revolution', is: '360 deg', sense: 'angular' },
  { symbol: 'cycle', name: 'cycle', is: DIMENSIONLESS },
];
