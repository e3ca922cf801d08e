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

export const UNIT_ROWS: readonly UnitRow[] = [
  ...LENGTH,
  ...MASS,
  ...TIME,
  ...TEMPERATURE,
  ...FORCE,
  ...PRESSURE,
  ...ANGLE,
  ...RATIO,
  ...ENERGY,
  ...ELECTRICAL,
  ...RADIATION,
];
