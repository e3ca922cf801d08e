export type { Dimension } from './dimensions/dimension.js';
export {
  BASE_QUANTITIES,
  DIMENSIONLESS,
  canRaise,
  dimension,
  divide,
  multiply,
  power,
} from './dimensions/dimension.js';
export { ExactFactor } from './dimensions/exact.js';
export { formatMargin, formatNumber, formatQuantity, readableUnit, unitsOfDimension, withDegrees } from './format.js';
export type { HeaderUnit } from './header.js';
export { headerTitle, headerUnit } from './header.js';
export type { UnitScope } from './parse.js';
export { canonicalUnitText, declareUnit, isUnit, parseUnit } from './parse.js';
export * from './quantities.js';
export { tableSymbols } from './registry.js';
export { unitHint } from './slips.js';
export type { Unit } from './dimensions/unit.js';
export { asDifference, exactLiteral, fromSI, toSI } from './dimensions/unit.js';
