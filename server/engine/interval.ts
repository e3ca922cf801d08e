/**
 * Bounds of every entry on a path of the arena, and bounds of its derivatives, over ranges of the toleranced values.
 */
import type { Arena } from './arena.js';
import { Op } from './operations.js';
import { rangeOf, slope, type TableData } from './table.js';

export interface Interval {
  readonly low: number;
  readonly high: number;
}

const WHOLE: Interval = { low: -Infinity, high: Infinity };
const of = (low: number, high: number): Interval => (low !== low || high !== high ? WHOLE : { low, high });
const constant = (x: number): Interval => ({ low: x, high: x });
const ZERO = constant(0);
const ONE = constant(1);
const EITHER: Interval = { low: 0, high: 1 };

const add = (x: Interval, y: Interval): Interval => of(x.low + y.low, x.high + y.high);
const negate = (x: Interval): Interval => ({ low: -x.high, high: -x.low });
export const subtract = (x: Interval, y: Interval): Interval => of(x.low - y.high, x.high - y.low);

export function multiply(x: Interval, y: Interval): Interval {
  if ((x.low === 0 && x.high === 0) || (y.low === 0 && y.high === 0)) return ZERO;
  const products = [x.low * y.low, x.low * y.high, x.high * y.low, x.high * y.high];
  return products.some(product => product !== product)
    ? WHOLE
    : { low: Math.min(...products), high: Math.max(...products) };
}

export function divide(x: Interval, y: Interval): Interval {
  return y.low <= 0 && y.high >= 0 ? WHOLE : multiply(x, { low: 1 / y.high, high: 1 / y.low });
}

const monotone = (f: (x: number) => number, x: Interval): Interval => of(f(x.low), f(x.high));

function square(x: Interval): Interval {
  const ends = [x.low * x.low, x.high * x.high];
  return { low: x.low <= 0 && x.high >= 0 ? 0 : Math.min(...ends), high: Math.max(...ends) };
}

function raise(x: Interval, y: Interval): Interval {
  if (y.low === y.high && Number.isInteger(y.low) && y.low > 0) {
    if (y.low % 2 === 1) return monotone(v => v ** y.low, x);
    const ends = [x.low ** y.low, x.high ** y.low];
    return { low: x.low <= 0 && x.high >= 0 ? 0 : Math.min(...ends), high: Math.max(...ends) };
  }
  if (x.low < 0 || (x.low === 0 && y.low <= 0)) return WHOLE;
  const corners = [x.low ** y.low, x.low ** y.high, x.high ** y.low, x.high ** y.high];
  return corners.some(value => value !== value) ? WHOLE : { low: Math.min(...corners), high: Math.max(...corners) };
}

/** Sine (or cosine, a quarter turn on) over an interval. */
function wave(x: Interval, shift: number): Interval {
  if (!(x.high - x.low < 2 * Math.PI)) return { low: -1, high: 1 };
  const [from, to] = [x.low + shift, x.high + shift];
  const reaches = (angle: number): boolean =>
    Math.floor((to - angle) / (2 * Math.PI)) > Math.floor((from - angle) / (2 * Math.PI)) ||
    (from - angle) % (2 * Math.PI) === 0;
  const ends = [Math.sin(from), Math.sin(to)];
  return { low: reaches(-Math.PI / 2) ? -1 : Math.min(...ends), high: reaches(Math.PI / 2) ? 1 : Math.max(...ends) };
}

/** Bounds of one operation's value, or null for an operation that has none here. */
function bound(op: Op, x: Interval, y: Interval, z: Interval, table: TableData | null): Interval | null {
  switch (op) {
    case Op.Copy:
    case Op.Slot:
      return x;
    case Op.Add:
      return add(x, y);
    case Op.Subtract:
      return subtract(x, y);
    case Op.Multiply:
      return multiply(x, y);
    case Op.Divide:
      return divide(x, y);
    case Op.Negate:
      return negate(x);
    case Op.Square:
      return square(x);
    case Op.Power:
      return raise(x, y);
    case Op.SquareRoot:
      return x.low < 0 ? WHOLE : monotone(Math.sqrt, x);
    case Op.CubeRoot:
      return monotone(Math.cbrt, x);
    case Op.Absolute:
      return x.low >= 0 ? x : x.high <= 0 ? negate(x) : { low: 0, high: Math.max(-x.low, x.high) };
    case Op.Minimum:
      return of(Math.min(x.low, y.low), Math.min(x.high, y.high));
    case Op.Maximum:
      return of(Math.max(x.low, y.low), Math.max(x.high, y.high));
    case Op.Exp:
      return monotone(Math.exp, x);
    case Op.Ln:
      return x.low <= 0 ? WHOLE : monotone(Math.log, x);
    case Op.Log10:
      return x.low <= 0 ? WHOLE : monotone(Math.log10, x);
    case Op.Sin:
      return wave(x, 0);
    case Op.Cos:
      return wave(x, Math.PI / 2);
    case Op.Asin:
      return monotone(Math.asin, x);
    case Op.Acos:
      return negate(monotone(v => -Math.acos(v), x));
    case Op.Atan:
      return monotone(Math.atan, x);
    case Op.Select:
      return x.low === x.high ? (x.low !== 0 ? y : z) : of(Math.min(y.low, z.low), Math.max(y.high, z.high));
    case Op.LessEqual:
    case Op.Less:
      return x.high < y.low ? ONE : x.low > y.high ? ZERO : EITHER;
    case Op.Lookup: {
      if (!table || !Number.isFinite(x.low) || !Number.isFinite(x.high)) return null;
      const [low, high] = rangeOf(table, x.low, x.high);
      return of(low, high);
    }
    default:
      return null;
  }
}

/** Bounds of the derivative of an operation by its operands, or null where it has none. */
function partials(
  op: Op,
  value: Interval,
  x: Interval,
  y: Interval,
  table: TableData | null,
): readonly Interval[] | null {
  switch (op) {
    case Op.Copy:
    case Op.Slot:
      return [ONE];
    case Op.Add:
      return [ONE, ONE];
    case Op.Subtract:
      return [ONE, constant(-1)];
    case Op.Multiply:
      return [y, x];
    case Op.Divide:
      return [divide(ONE, y), negate(divide(x, square(y)))];
    case Op.Negate:
      return [constant(-1)];
    case Op.Square:
      return [multiply(constant(2), x)];
    case Op.Power:
      return y.low === y.high
        ? [multiply(y, raise(x, constant(y.low - 1)))]
        : x.low > 0
          ? [multiply(y, raise(x, subtract(y, ONE))), multiply(value, monotone(Math.log, x))]
          : null;
    case Op.SquareRoot:
      return x.low <= 0 ? null : [divide(constant(0.5), value)];
    case Op.CubeRoot:
      return x.low <= 0 && x.high >= 0 ? null : [divide(ONE, multiply(constant(3), square(value)))];
    case Op.Absolute:
      return [x.low >= 0 ? ONE : x.high <= 0 ? constant(-1) : { low: -1, high: 1 }];
    case Op.Minimum:
      return x.high < y.low ? [ONE, ZERO] : x.low > y.high ? [ZERO, ONE] : [EITHER, EITHER];
    case Op.Maximum:
      return x.high < y.low ? [ZERO, ONE] : x.low > y.high ? [ONE, ZERO] : [EITHER, EITHER];
    case Op.Exp:
      return [value];
    case Op.Ln:
      return [divide(ONE, x)];
    case Op.Log10:
      return [divide(constant(Math.LOG10E), x)];
    case Op.Sin:
      return [wave(x, Math.PI / 2)];
    case Op.Cos:
      return [negate(wave(x, 0))];
    case Op.Atan:
      return [divide(ONE, add(ONE, square(x)))];
    case Op.Select:
      return x.low === x.high ? (x.low !== 0 ? [ZERO, ONE, ZERO] : [ZERO, ZERO, ONE]) : null;
    case Op.Lookup:
      return table ? slopeRange(table, x) : null;
    default:
      return null;
  }
}

function slopeRange(table: TableData, x: Interval): Interval[] | null {
  const keys = table.keys as Float64Array;
  const at = [x.low, x.high, ...keys.filter(key => key > x.low && key < x.high)].sort((p, q) => p - q);
  const slopes: number[] = [];
  for (let i = 0; i + 1 < at.length || i === 0; i++) {
    const [from, to] = [at[i]!, at[i + 1] ?? at[i]!];
    // Within a segment every interpolation has a monotone slope: its ends bound it.
    const middle = from + (to - from) / 2;
    slopes.push(slope(table, middle), slope(table, from + (to - from) * 1e-9), slope(table, to - (to - from) * 1e-9));
  }
  if (slopes.some(value => value !== value)) return null;
  return [{ low: Math.min(...slopes), high: Math.max(...slopes) }];
}

/**
 * Bounds along `order` (entries in order of calculation) when the sources vary within `ranges`. Null where an operation
 * on the way
 * has no bounds (a solved unknown, a step). `known` gives bounds of entries outside the order, such as the unknown of a
 * reserve.
 */
export function boundsOf(
  arena: Arena,
  order: readonly number[],
  ranges: ReadonlyMap<number, Interval>,
  known: ReadonlyMap<number, Interval> = new Map(),
): Map<number, Interval> | null {
  const bounds = new Map<number, Interval>(known);
  const get = (i: number): Interval => bounds.get(i) ?? constant(arena.values[i]!);
  for (const i of order) {
    const op = arena.op[i] as Op;
    const a = arena.a[i]!;
    const result =
      op === Op.Tolerance
        ? add(get(a), ranges.get(i) ?? ZERO)
        : bound(op, get(a), get(arena.b[i]!), get(arena.c[i]!), op === Op.Lookup ? arena.tableOf(i) : null);
    if (!result) return null;
    bounds.set(i, result);
  }
  return bounds;
}

/** Bounds of the derivative of `root` by every entry of `order`, given the bounds of their values. */
export function slopesOf(
  arena: Arena,
  order: readonly number[],
  bounds: ReadonlyMap<number, Interval>,
  root: number,
): Map<number, Interval> | null {
  const slopes = new Map<number, Interval>([[root, ONE]]);
  const get = (i: number): Interval => bounds.get(i) ?? constant(arena.values[i]!);
  for (let k = order.length - 1; k >= 0; k--) {
    const i = order[k]!;
    const slopeHere = slopes.get(i);
    if (!slopeHere) continue;
    const op = arena.op[i] as Op;
    const operands = [arena.a[i]!, arena.b[i]!, arena.c[i]!];
    const parts =
      op === Op.Tolerance
        ? [ONE]
        : partials(op, get(i), get(operands[0]!), get(operands[1]!), op === Op.Lookup ? arena.tableOf(i) : null);
    if (!parts) return null;
    parts.forEach((part, n) => {
      const operand = operands[n]!;
      if (!bounds.has(operand)) return;
      const contribution = multiply(slopeHere, part);
      const before = slopes.get(operand);
      slopes.set(operand, before ? add(before, contribution) : contribution);
    });
  }
  return slopes;
}
