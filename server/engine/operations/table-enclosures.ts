/** Tables over a box: their range over the pieces that are touched, and the hull of the slopes of those pieces. */
import { power } from './power.js';
import { lookup, lookup2, type TableData } from './table.js';
import {
  downFunction,
  EVERYWHERE,
  HIGH,
  highOf,
  LOW,
  lowOf,
  markUndefined,
  put,
  RANGE,
  SOMEWHERE,
  UNDEFINED,
  upFunction,
} from './enclosures.js';

const near = (x: number, key: number): boolean => Math.abs(x - key) <= 1e-9 * Math.max(Math.abs(x), Math.abs(key));

/** The piece that holds x, from 0 to the last but one key. */
function pieceAt(keys: Float64Array, x: number): number {
  let low = 0;
  let high = keys.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (keys[middle]! <= x) low = middle;
    else high = middle;
  }
  return low;
}

/** RANGE = what entry `a` asks of the keys, cut to them; false where nothing is left. */
function cut(i: number, a: number, keys: Float64Array): boolean {
  const first = keys[0]!;
  const last = keys[keys.length - 1]!;
  let low = lowOf(a);
  let high = highOf(a);
  if (low < first) {
    if (!near(low, first)) markUndefined(i, high < first && !near(high, first) ? EVERYWHERE : SOMEWHERE);
    low = first;
    if (high < first) high = first;
  }
  if (high > last) {
    if (!near(high, last)) markUndefined(i, low > last && !near(low, last) ? EVERYWHERE : SOMEWHERE);
    high = last;
    if (low > last) low = last;
  }
  RANGE[0] = low;
  RANGE[1] = high;
  return low <= high;
}

/** RANGE = range over [low, high]: within a piece every interpolation is monotone, so ends and keys bound it. */
function rangeBetween(table: TableData, low: number, high: number): void {
  const keys = table.keys as Float64Array;
  const values = table.values as Float64Array;
  let least = lookup(table, low);
  let most = least;
  let size = 0;
  const seen = (y: number): void => {
    if (y < least) least = y;
    if (y > most) most = y;
    // Not a number where a value of the table is to be determined: then nothing is known of the whole.
    size = Math.max(size, Math.abs(y));
  };
  seen(least);
  seen(lookup(table, high));
  for (let n = 0; n < keys.length; n++) {
    if (keys[n]! < low || keys[n]! > high) continue;
    seen(values[n]!);
    // Just below a key a step still has the value before it.
    if (table.interpolation === 'step' && n > 0) seen(values[n - 1]!);
  }
  // Through logarithms the last digits are less sure.
  const rounding = table.interpolation === 'loglog' ? 1e-13 : 4e-15;
  RANGE[0] = least - size * rounding;
  RANGE[1] = most + size * rounding;
}

export function encloseTable(i: number, a: number, table: TableData): void {
  const keys = table.keys as Float64Array;
  if (keys.length === 0 || (table.interpolation === 'exact' && LOW[a] !== HIGH[a])) {
    // Between the keys of an exact table there is nothing.
    markUndefined(i, SOMEWHERE);
    RANGE[0] = -Infinity;
    RANGE[1] = Infinity;
  } else if (cut(i, a, keys)) rangeBetween(table, RANGE[0], RANGE[1]);
  putKnown(i);
}

function putKnown(i: number): void {
  const low = RANGE[0];
  const high = RANGE[1];
  if (low === low && high === high) put(i, low, high);
  else {
    put(i, -Infinity, Infinity);
    markUndefined(i, SOMEWHERE);
  }
}

/** RANGE = slopes between any two points of [low, high]. */
function chords(table: TableData, low: number, high: number): void {
  const keys = table.keys as Float64Array;
  const values = table.values as Float64Array;
  let least = Infinity;
  let most = -Infinity;
  const seen = (slope: number): void => {
    if (slope < least || slope !== slope) least = slope === slope ? slope : -Infinity;
    if (slope > most || slope !== slope) most = slope === slope ? slope : Infinity;
  };
  const last = Math.min(pieceAt(keys, high), keys.length - 2);
  for (let n = pieceAt(keys, low); n <= last; n++) {
    const [x0, x1, y0, y1] = [keys[n]!, keys[n + 1]!, values[n]!, values[n + 1]!];
    switch (table.interpolation) {
      case 'step':
        seen(0);
        if (high >= x1 && low < x1 && y1 !== y0) seen(y1 > y0 ? Infinity : -Infinity);
        break;
      case 'linear':
        seen((y1 - y0) / (x1 - x0));
        break;
      case 'semilog':
        for (const x of [Math.max(low, x0), Math.min(high, x1)]) seen((y1 - y0) / Math.log(x1 / x0) / x);
        break;
      case 'loglog': {
        const slope = Math.log(y1 / y0) / Math.log(x1 / x0);
        for (const x of [Math.max(low, x0), Math.min(high, x1)]) seen(((slope * y0) / x0) * power(x / x0, slope - 1));
        break;
      }
      case 'exact':
        seen(low === high ? 0 : NaN);
        break;
    }
  }
  if (least > most) least = most = 0;
  RANGE[0] = downFunction(least);
  RANGE[1] = upFunction(most);
}

/** RANGE = slopes of a table by its input. */
export function slopeOfTable(i: number, a: number, table: TableData): void {
  if (!(UNDEFINED[i]! & SOMEWHERE) && cut(i, a, table.keys as Float64Array)) chords(table, RANGE[0], RANGE[1]);
  else unknownSlope();
}

function unknownSlope(): void {
  RANGE[0] = -Infinity;
  RANGE[1] = Infinity;
}

function rangeOfRow(i: number, b: number, row: TableData): void {
  if (cut(i, b, row.keys as Float64Array)) rangeBetween(row, RANGE[0], RANGE[1]);
  else unknownSlope();
}

/** How far x has come between two keys by the interpolation of the first input. */
function share(table: TableData, n: number, x: number): number {
  const keys = table.keys as Float64Array;
  const [x0, x1] = [keys[n]!, keys[n + 1]!];
  return table.interpolation === 'loglog' || table.interpolation === 'semilog'
    ? Math.log(x / x0) / Math.log(x1 / x0)
    : (x - x0) / (x1 - x0);
}

/**
 * Two inputs: for each y the value is monotone in x between two keys, so the ends and the keys inside bound it. By
 * rows,
 * which is exact where both rise or both fall and wider elsewhere.
 */
export function encloseTable2(i: number, a: number, b: number, table: TableData): void {
  const keys = table.keys as Float64Array;
  const rows = table.values as readonly TableData[];
  if (LOW[a] === HIGH[a] && LOW[b] === HIGH[b]) {
    const x = lookup2(table, lowOf(a), lowOf(b));
    RANGE[0] = x - Math.abs(x) * 4e-15;
    RANGE[1] = x + Math.abs(x) * 4e-15;
    if (x !== x) markUndefined(i, EVERYWHERE);
    return putKnown(i);
  }
  if (table.interpolation === 'exact' && LOW[a] !== HIGH[a]) {
    markUndefined(i, SOMEWHERE);
    return put(i, -Infinity, Infinity);
  }
  if (!cut(i, a, keys)) return put(i, -Infinity, Infinity);
  const [xLow, xHigh] = [RANGE[0], RANGE[1]];
  let least = Infinity;
  let most = -Infinity;
  const seen = (p: number, q: number): void => {
    if (p < least || p !== p) least = p === p ? p : -Infinity;
    if (q > most || q !== q) most = q === q ? q : Infinity;
  };
  const across = (x: number): void => {
    const n = Math.min(pieceAt(keys, x), Math.max(0, keys.length - 2));
    rangeOfRow(i, b, rows[n]!);
    const [p, q] = [RANGE[0], RANGE[1]];
    if (keys.length === 1) return seen(p, q);
    const w = share(table, n, x);
    rangeOfRow(i, b, rows[n + 1]!);
    const [r, s] = [RANGE[0], RANGE[1]];
    if (table.interpolation === 'step' || table.interpolation === 'exact') {
      if (w < 1 - 1e-9) seen(p, q);
      if (w >= 1 - 1e-9) seen(r, s);
    } else if (table.interpolation === 'loglog') {
      const between = (y0: number, y1: number): number =>
        w <= 0 ? y0 : w >= 1 ? y1 : y0 > 0 && y1 > 0 ? Math.exp(Math.log(y0) * (1 - w) + Math.log(y1) * w) : NaN;
      const [low, high] = [between(p, r), between(q, s)];
      seen(low - Math.abs(low) * 1e-14, high + Math.abs(high) * 1e-14);
    } else seen(p * (1 - w) + r * w, q * (1 - w) + s * w);
  };
  across(xLow);
  across(xHigh);
  for (let n = 0; n < keys.length; n++) {
    if (keys[n]! <= xLow || keys[n]! > xHigh) continue;
    across(keys[n]!);
    if (table.interpolation === 'step' && n > 0) {
      rangeOfRow(i, b, rows[n - 1]!);
      seen(RANGE[0], RANGE[1]);
    }
  }
  const slack = Math.max(Math.abs(least), Math.abs(most)) * 4e-15;
  RANGE[0] = least - slack;
  RANGE[1] = most + slack;
  putKnown(i);
}

/** RANGE = slope by the first input. */
export function slopeByFirst(i: number, a: number, b: number, table: TableData): void {
  const keys = table.keys as Float64Array;
  const rows = table.values as readonly TableData[];
  if (UNDEFINED[i]! & SOMEWHERE || keys.length < 2 || !cut(i, a, keys)) return unknownSlope();
  const [xLow, xHigh] = [RANGE[0], RANGE[1]];
  if (table.interpolation === 'exact') return unknownSlope();
  let least = Infinity;
  let most = -Infinity;
  for (let n = pieceAt(keys, xLow); n <= pieceAt(keys, xHigh) && n < keys.length - 1; n++) {
    rangeOfRow(i, b, rows[n]!);
    const [p, q] = [RANGE[0], RANGE[1]];
    rangeOfRow(i, b, rows[n + 1]!);
    let low = RANGE[0] - q;
    let high = RANGE[1] - p;
    const [x0, x1] = [Math.max(xLow, keys[n]!), Math.min(xHigh, keys[n + 1]!)];
    switch (table.interpolation) {
      case 'step':
        low = xHigh >= keys[n + 1]! && low < 0 ? -Infinity : 0;
        high = xHigh >= keys[n + 1]! && high > 0 ? Infinity : 0;
        break;
      case 'linear':
        low /= keys[n + 1]! - keys[n]!;
        high /= keys[n + 1]! - keys[n]!;
        break;
      case 'semilog': {
        const length = Math.log(keys[n + 1]! / keys[n]!);
        low = Math.min(low / length / x0, low / length / x1);
        high = Math.max(high / length / x0, high / length / x1);
        break;
      }
      default:
        // Its slope is the value times the difference of the logarithms over that of the inputs.
        return unknownSlope();
    }
    if (low !== low || high !== high) return unknownSlope();
    least = Math.min(least, low);
    most = Math.max(most, high);
  }
  RANGE[0] = downFunction(least);
  RANGE[1] = upFunction(most);
}

/** RANGE = slope by the second input. */
export function slopeBySecond(i: number, a: number, b: number, table: TableData): void {
  const keys = table.keys as Float64Array;
  const rows = table.values as readonly TableData[];
  if (UNDEFINED[i]! & SOMEWHERE || !cut(i, a, keys)) return unknownSlope();
  const first = pieceAt(keys, RANGE[0]);
  const last = pieceAt(keys, RANGE[1]);
  // Between two rows in logarithms slopes mix with values.
  if (table.interpolation === 'loglog' && keys.length > 1) return unknownSlope();
  let least = Infinity;
  let most = -Infinity;
  for (let n = first; n <= Math.min(last + 1, keys.length - 1); n++) {
    const row = rows[n]!;
    if (!cut(i, b, row.keys as Float64Array)) return unknownSlope();
    chords(row, RANGE[0], RANGE[1]);
    least = Math.min(least, RANGE[0]);
    most = Math.max(most, RANGE[1]);
  }
  RANGE[0] = downFunction(least);
  RANGE[1] = upFunction(most);
}
