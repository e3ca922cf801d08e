import { ANGLE } from './angle.js';
import { ELECTRICAL } from './electrical.js';
import { ENERGY } from './energy.js';
import { FORCE } from './force.js';
import { LENGTH } from './length.js';
import { MASS } from './mass.js';
import { PRESSURE } from './pressure.js';
import { RADIATION } from './radiation.js';
import { RATIO } from './ratio.js';
import type { UnitRow } from './row.js';
import { TEMPERATURE } from './temperature.js';
import { TIME } from './time.js';

/** The tables by their topic. */
export const UNIT_TABLES: readonly { readonly topic: string; readonly rows: readonly UnitRow[] }[] = [
  { topic: 'Length, area, volume', rows: LENGTH },
  { topic: 'Mass and amount', rows: MASS },
  { topic: 'Time, frequency, speed', rows: TIME },
  { topic: 'Temperature', rows: TEMPERATURE },
  { topic: 'Force and acceleration', rows: FORCE },
  { topic: 'Pressure, stress, viscosity', rows: PRESSURE },
  { topic: 'Angle', rows: ANGLE },
  { topic: 'Ratio', rows: RATIO },
  { topic: 'Energy, power, light', rows: ENERGY },
  { topic: 'Electricity and magnetism', rows: ELECTRICAL },
  { topic: 'Radiation', rows: RADIATION },
];

export const UNIT_ROWS: readonly UnitRow[] = UNIT_TABLES.flatMap(({ rows }) => rows);
