import { bug } from '../base/index.js';
import type { Dimension } from './dimensions/dimension.js';
import { DIMENSIONLESS } from './dimensions/dimension.js';
import { isUnit, parseUnit } from './parse.js';
import { TEMPERATURE, parseDimension } from './quantities.js';
import { tableSymbols } from './registry.js';
import type { ReadableRow } from './tables/readable.js';
import { READABLE, USUAL_COMPOUNDS } from './tables/readable.js';
import type { Unit } from './dimensions/unit.js';
import { fromSI, nearlyFromSI } from './dimensions/unit.js';

/** Inside this distance of zero a margin counts as zero: the language's one comparison tolerance. */
const MARGIN_TOLERANCE = 1e-9;

/** Decimal powers of the first digit that are printed without `e`. */
const PLAIN_FROM = -4;
const PLAIN_TO = 6;

/** A number with so many significant digits and no needless zeros: `0.0254`, `123500`, `1.2e-6`. */
export function formatNumber(value: number, significantDigits = 4): string {
  if (Number.isNaN(value)) return 'undetermined';
  if (!Number.isFinite(value)) return value > 0 ? 'infinite' : '-infinite';
  if (value === 0) return '0';
  const [mantissa = '', exponentText] = value.toExponential(significantDigits - 1).split('e');
  const exponent = Number(exponentText);
  const digits = mantissa.includes('.') ? mantissa.replace(/\.?0+$/, '') : mantissa;
  if (exponent < PLAIN_FROM || exponent > PLAIN_TO) return `${digits}e${exponent}`;
  const decimals = Math.max(0, digits.replace(/[-.]/g, '').length - 1 - exponent);
  return Number(`${digits}e${exponent}`).toFixed(decimals);
}

/**
 * A margin with its sign and two decimals, rounded toward failure: 0.1099 → `+0.10`, −0.004 → `-0.01`. Within the
 * comparison tolerance (relative 1e-9 of the ratio) a value is the round one beside it, so that 0.29 is `+0.29`.
 */
export function formatMargin(margin: number): string {
  if (Number.isNaN(margin)) return 'undetermined';
  if (!Number.isFinite(margin)) return margin > 0 ? 'unbounded' : '-unbounded';
  const hundredths = Math.floor((margin + MARGIN_TOLERANCE * Math.max(1, Math.abs(1 + margin))) * 100);
  return `${hundredths < 0 ? '-' : '+'}${(Math.abs(hundredths) / 100).toFixed(2)}`;
}

export interface QuantityFormat {
  /** Unit to print in; without one, or with one of another dimension, a readable unit is chosen. */
  readonly unit?: Unit;
  /** Significant digits, by default 4. */
  readonly digits?: number;
  /** A temperature that is a point of the scale (printed in degC), not a difference (printed in K). */
  readonly point?: boolean;
}

/** An SI value as an engineer reads it: `3.2 mm`, `585 MPa`, `-55 degC`. */
export function formatQuantity(si: number, dimension: Dimension, format: QuantityFormat = {}): string {
  const unit = format.unit?.dimension === dimension ? format.unit : readableUnit(dimension, si, format.point);
  const isPoint = format.point === true && dimension === TEMPERATURE;
  if (isPoint && !unit.isPoint) return formatQuantity(si, dimension, { ...format, unit: known('degC') });
  const number = numberIn(unit, si, !isPoint, format.digits);
  const symbol = unit.isPoint && !isPoint ? differenceSymbol(unit) : unit.symbol;
  return symbol === '' ? number : `${number} ${symbol}`;
}

/** Degrees as they are read; in sources they are written so that every keyboard has them. */
export function withDegrees(text: string): string {
  return text.replace(/\bdeg([CF])\b/g, '°$1');
}

/** Exact arithmetic decides only where the last digit hangs on it. */
function numberIn(unit: Unit, si: number, difference: boolean, digits: number | undefined): string {
  const { value, error } = nearlyFromSI(unit, si, { difference });
  const low = formatNumber(value - error, digits);
  return low === formatNumber(value + error, digits) ? low : formatNumber(fromSI(unit, si, { difference }), digits);
}

/** The unit in which results of this size are usually printed; for a number a unit with an empty symbol. */
export function readableUnit(dimension: Dimension, si: number, point = false): Unit {
  if (dimension === DIMENSIONLESS) return NUMBER;
  if (point && dimension === TEMPERATURE) return known('degC');
  const row = readableRows().get(dimension);
  if (row === undefined) return baseUnit(dimension);
  const size = Math.abs(si) * (1 + MARGIN_TOLERANCE);
  const step = size > 0 ? row.steps.findLast(([, from]) => from <= size) : undefined;
  return known(step?.[0] ?? row.usual);
}

let symbolsByDimension: Map<Dimension, Unit[]> | undefined;

/** The units to offer where a quantity of this dimension is due, usual ones first. */
export function unitsOfDimension(dimension: Dimension): readonly Unit[] {
  symbolsByDimension ??= collectUnits();
  return symbolsByDimension.get(dimension) ?? [];
}

function collectUnits(): Map<Dimension, Unit[]> {
  const usual = READABLE.flatMap(({ usual, steps }) => [usual, ...steps.map(([unit]) => unit)]);
  const collected = new Map<Dimension, Unit[]>();
  for (const symbol of new Set([...usual, ...tableSymbols(), ...USUAL_COMPOUNDS])) {
    const unit = known(symbol);
    collected.set(unit.dimension, [...(collected.get(unit.dimension) ?? []), unit]);
  }
  return collected;
}

let rows: ReadonlyMap<Dimension, ReadableRow> | undefined;

function readableRows(): ReadonlyMap<Dimension, ReadableRow> {
  rows ??= new Map(READABLE.map(row => [parseDimension(row.of) ?? bug(`no dimension ${row.of}`), row]));
  return rows;
}

const NUMBER: Unit = Object.freeze({ ...known('cycle'), symbol: '', name: 'number' });

function differenceSymbol(unit: Unit): string {
  return unit.symbol.replace(/^deg/, 'd');
}

/** In the order of `BASE_QUANTITIES`. */
const BASE_SYMBOLS = ['m', 'kg', 's', 'A', 'K', 'mol', 'cd'];

/** The product of SI base units: `kg*m/(s^3*K)`, also where its powers are higher than any that one may write. */
function baseUnit(dimension: Dimension): Unit {
  const factors = dimension.exponents.map(({ num, den }, index) => ({ symbol: BASE_SYMBOLS[index]!, num, den }));
  const above = factors.filter(({ num }) => num > 0).map(spelt);
  const below = factors.filter(({ num }) => num < 0).map(spelt);
  const divisor = below.length > 1 ? `(${below.join('*')})` : below[0];
  const symbol = (above.join('*') || '1') + (divisor === undefined ? '' : `/${divisor}`);
  return { symbol, dimension, factor: 1, exact: NUMBER.exact, isPoint: false };
}

function spelt({ symbol, num, den }: { readonly symbol: string; readonly num: number; readonly den: number }): string {
  const size = Math.abs(num);
  if (den !== 1) return `${symbol}^(${size}/${den})`;
  return size === 1 ? symbol : `${symbol}^${size}`;
}

function known(text: string): Unit {
  const unit = parseUnit(text);
  return isUnit(unit) ? unit : bug(`no unit ${text}: ${unit.message}`);
}
