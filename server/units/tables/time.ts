import { dimension } from '../dimensions/dimension.js';
import type { UnitRow } from './row.js';

/** Time, frequency, speed. The year is the Julian one, 365.25 days. */
export const TIME: readonly UnitRow[] = [
  { symbol: 's', name: 'second', is: dimension({ time: 1 }), prefixes: 'f p n µ m k' },
  { symbol: 'min', name: 'minute', is: '60 s' },
  { symbol: 'h', name: 'hour', is: '3600 s' },
  { symbol: 'd', name: 'day', is: '86400 s' },
  { symbol: 'week', name: 'week', is: '7 d' },
  { symbol: 'yr', name: 'year of 365.25 days', is: '365.25 d' },
  { symbol: 'Hz', name: 'hertz', is: '1 1/s', prefixes: 'µ m k M G T' },
  { symbol: 'rpm', name: 'revolution per minute', is: '1 rev/min', sense: 'angular' },
  { symbol: 'mph', name: 'mile per hour', is: '1 mi/h' },
];
