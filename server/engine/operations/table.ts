/** Tables as the evaluator reads them: frozen numbers, never extrapolated. */
import { power } from './power.js';
import type { Interpolation } from '../../model/expression.js';

export interface TableData {
  readonly interpolation: Interpolation;
  /** Ascending input values in SI, or text keys in the order written. */
  readonly keys: Float64Array | readonly string[];
  /** Output values in SI, or for two inputs one table a key. */
  readonly values: Float64Array | readonly TableData[];
}

/**
 * The value at `x`, or NaN outside the table's range. `step` takes the last breakpoint at or below; `exact` only
 * breakpoints themselves.
 */
export function lookup(table: TableData, x: number): number {
  const keys = table.keys as Float64Array;
  const values = table.values as Float64Array;
  const n = keys.length;
  if (n === 0 || x !== x) return NaN;
  const i = bracket(keys, x);
  if (i < 0) {
    // Rounding in the last digits of a calculated input is no request beyond the range.
    if (close(x, keys[0]!)) return values[0]!;
    return NaN;
  }
  if (i >= n - 1)
    return x === keys[n - 1] || close(x, keys[n - 1]!)
      ? values[n - 1]!
      : table.interpolation === 'step' && i === n - 1 && x <= keys[n - 1]!
        ? values[n - 1]!
        : NaN;
  if (x === keys[i]) return values[i]!;
  switch (table.interpolation) {
    case 'step':
      return values[i]!;
    case 'exact':
      return close(x, keys[i]!) ? values[i]! : close(x, keys[i + 1]!) ? values[i + 1]! : NaN;
    default:
      return between(table.interpolation, keys[i]!, keys[i + 1]!, values[i]!, values[i + 1]!, x);
  }
}

/** Two inputs: interpolates between the rows' own values at `y`. */
export function lookup2(table: TableData, x: number, y: number): number {
  const keys = table.keys as Float64Array;
  const rows = table.values as readonly TableData[];
  const n = keys.length;
  if (n === 0 || x !== x) return NaN;
  const i = bracket(keys, x);
  if (i < 0) return close(x, keys[0]!) ? lookup(rows[0]!, y) : NaN;
  if (i >= n - 1) return close(x, keys[n - 1]!) ? lookup(rows[n - 1]!, y) : NaN;
  if (x === keys[i]) return lookup(rows[i]!, y);
  if (table.interpolation === 'step') return lookup(rows[i]!, y);
  if (table.interpolation === 'exact')
    return close(x, keys[i]!) ? lookup(rows[i]!, y) : close(x, keys[i + 1]!) ? lookup(rows[i + 1]!, y) : NaN;
  return between(table.interpolation, keys[i]!, keys[i + 1]!, lookup(rows[i]!, y), lookup(rows[i + 1]!, y), x);
}

function between(interpolation: Interpolation, x0: number, x1: number, y0: number, y1: number, x: number): number {
  switch (interpolation) {
    case 'loglog':
      return Math.exp(
        Math.log(y0) + ((Math.log(y1) - Math.log(y0)) * (Math.log(x) - Math.log(x0))) / (Math.log(x1) - Math.log(x0)),
      );
    // Logarithmic in the input, linear in the value.
    case 'semilog':
      return y0 + ((y1 - y0) * (Math.log(x) - Math.log(x0))) / (Math.log(x1) - Math.log(x0));
    default:
      return y0 + ((y1 - y0) * (x - x0)) / (x1 - x0);
  }
}

/** Slope of the value over the input, for derivatives; NaN at a step. */
export function slope(table: TableData, x: number): number {
  const keys = table.keys as Float64Array;
  const values = table.values as Float64Array;
  const i = Math.min(Math.max(bracket(keys, x), 0), keys.length - 2);
  if (keys.length < 2 || table.interpolation === 'step' || table.interpolation === 'exact') return NaN;
  const [x0, x1, y0, y1] = [keys[i]!, keys[i + 1]!, values[i]!, values[i + 1]!];
  if (table.interpolation === 'loglog')
    return ((lookup(table, x) / x) * (Math.log(y1) - Math.log(y0))) / (Math.log(x1) - Math.log(x0));
  if (table.interpolation === 'semilog') return (y1 - y0) / (x * (Math.log(x1) - Math.log(x0)));
  return (y1 - y0) / (x1 - x0);
}

/** Exact integral of the table over its whole input, segment by segment by its interpolation. */
export function integrate(table: TableData): number {
  const keys = table.keys as Float64Array;
  const values = table.values as Float64Array;
  let area = 0;
  for (let i = 0; i + 1 < keys.length; i++)
    area += segmentArea(table.interpolation, keys[i]!, keys[i + 1]!, values[i]!, values[i + 1]!);
  return area;
}

function segmentArea(interpolation: Interpolation, x0: number, x1: number, y0: number, y1: number): number {
  if (interpolation === 'step') return y0 * (x1 - x0);
  if (interpolation === 'exact') return NaN;
  if (interpolation === 'loglog') {
    const n = Math.log(y1 / y0) / Math.log(x1 / x0);
    return Math.abs(n + 1) < 1e-12 ? y0 * x0 * Math.log(x1 / x0) : ((y0 * x0) / (n + 1)) * (power(x1 / x0, n + 1) - 1);
  }
  if (interpolation === 'semilog') {
    const slope = (y1 - y0) / Math.log(x1 / x0);
    return x1 * (y1 - slope) - x0 * (y0 - slope);
  }
  return ((y0 + y1) / 2) * (x1 - x0);
}

/** Index of the last key at or below `x`; -1 below all; n − 1 at or beyond the last. */
function bracket(keys: Float64Array, x: number): number {
  let low = -1;
  let high = keys.length - 1;
  if (x >= keys[high]!) return x > keys[high]! ? high + 1 : high;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (keys[middle]! <= x) low = middle;
    else high = middle;
  }
  return low;
}

function close(x: number, key: number): boolean {
  return Math.abs(x - key) <= 1e-9 * Math.max(Math.abs(x), Math.abs(key));
}

/** The range that a table holds. */
export function keyRange({ keys }: TableData): readonly [number, number] {
  const numbers = keys as Float64Array;
  return [numbers[0]!, numbers[numbers.length - 1]!];
}

/** What the rows of a table of two inputs hold all of them. */
export function commonKeyRange({ values }: TableData): readonly [number, number] {
  const ranges = (values as readonly TableData[]).map(keyRange);
  return [Math.max(...ranges.map(([least]) => least)), Math.min(...ranges.map(([, most]) => most))];
}
