/**
 * What the proof works on: for each entry of a tape its value at a point, an enclosure of its values over a box, and an
 * enclosure of the slopes of a result by it. The arrays are shared by all tapes, whose entries begin at 0. Rows of the
 * table of operations take entry numbers only: a double handed to a function that isn't inlined is boxed, which costs
 * more than the operation.
 *
 * A slope here bounds the difference quotient between any two points of the box, not a derivative, so that kinks, steps
 * and jumps have one as well: a jump upwards has [0, ∞], and its sign is still known.
 */
import { power } from './power.js';
import type { TableData } from './table.js';

/** Entries that one tape may have. */
export const LARGEST_TAPE = 1 << 16;

export const VALUE = new Float64Array(LARGEST_TAPE);
export const LOW = new Float64Array(LARGEST_TAPE);
export const HIGH = new Float64Array(LARGEST_TAPE);
/** The ends of an entry that is on the tape. */
export const lowOf = (entry: number): number => LOW[entry]!;
export const highOf = (entry: number): number => HIGH[entry]!;
export const SLOPE_LOW = new Float64Array(LARGEST_TAPE);
export const SLOPE_HIGH = new Float64Array(LARGEST_TAPE);
/** Bit 1: may be undefined somewhere in the box; bit 2: is undefined everywhere in it. */
export const UNDEFINED = new Uint8Array(LARGEST_TAPE);
export const SOMEWHERE = 1;
export const EVERYWHERE = 3;
/** Two numbers handed from a helper to a row: the ends of a range. */
export const RANGE = new Float64Array(2) as Float64Array & { 0: number; 1: number };

/** The entry of the last walk that was the first to be possibly undefined; 0 for none. */
export const blame = { entry: 0 };

/** What `reserve`, `root` and the extremes of a sweep solve for, as entries of a tape. */
export interface Unknown {
  /** Entries that are tried: the k of a reserve, the x of a root, what a sweep runs over. */
  readonly parameters: readonly number[];
  readonly result: number;
  /** Entries that depend on a parameter, in order. */
  body: Int32Array;
  /** Entries outside the body that it reads and that may vary. */
  free: readonly number[];
  readonly low: number;
  readonly high: number;
}

/** The tape that a row belongs to. */
export interface Walks {
  readonly a: Int32Array;
  readonly b: Int32Array;
  tableOf(entry: number): TableData;
  isLookup(entry: number): boolean;
  unknownOf(entry: number): Unknown;
  point(entries: Int32Array): void;
  enclose(entries: Int32Array): void;
  slopes(entries: Int32Array, leaves: readonly number[], root: number): void;
}

// ---- Outward rounding ----------------------------------------------------------------------------------------------
// A correctly rounded result r lies within |r|·2^-53 of the truth; r − |r|·2^-52 is at least one step below r, so below
// the truth. Zero stays zero: a sum that rounds to zero is zero. Products get the smallest number for underflow.
// Library functions get four steps: no standard promises their accuracy, the tests hold it against exact arithmetic.

const ONE_STEP = 2 ** -52;
const FOUR_STEPS = 2 ** -50;
const SMALLEST = Number.MIN_VALUE;
const LARGEST = Number.MAX_VALUE;

export const down = (x: number): number => x - Math.abs(x) * ONE_STEP;
export const up = (x: number): number => x + Math.abs(x) * ONE_STEP;
const downProduct = (x: number): number => x - (Math.abs(x) * ONE_STEP + SMALLEST);
const upProduct = (x: number): number => x + (Math.abs(x) * ONE_STEP + SMALLEST);
export const downFunction = (x: number): number => x - (Math.abs(x) * FOUR_STEPS + SMALLEST);
export const upFunction = (x: number): number => x + (Math.abs(x) * FOUR_STEPS + SMALLEST);

/** Marks an entry as possibly (or surely) undefined. */
export function markUndefined(i: number, where: number): void {
  if (blame.entry === 0) blame.entry = i;
  UNDEFINED[i] = UNDEFINED[i]! | where;
}

/** Writes an enclosure; an end that overflowed is told, since infinite results are undetermined. */
export function put(i: number, low: number, high: number): void {
  LOW[i] = low >= -LARGEST ? low : -Infinity;
  HIGH[i] = high <= LARGEST ? high : Infinity;
  if (!(low >= -LARGEST && high <= LARGEST))
    markUndefined(i, low > LARGEST || high < -LARGEST ? EVERYWHERE : SOMEWHERE);
}

/** The same where infinite is a value: reserves, use of an allowable, choices. */
export function putAny(i: number, low: number, high: number): void {
  LOW[i] = low === low ? low : -Infinity;
  HIGH[i] = high === high ? high : Infinity;
}

/** RANGE = [a, b] · [c, d]; 0 · ∞ is 0, since what is enclosed is finite. */
export function times(a: number, b: number, c: number, d: number): void {
  let low: number;
  let high: number;
  if (a >= 0) {
    low = c >= 0 ? a * c : b * c;
    high = d >= 0 ? b * d : a * d;
  } else if (b <= 0) {
    low = d >= 0 ? a * d : b * d;
    high = c >= 0 ? b * c : a * c;
  } else if (c >= 0) {
    low = a * d;
    high = b * d;
  } else if (d <= 0) {
    low = b * c;
    high = a * c;
  } else {
    low = Math.min(a * d, b * c);
    high = Math.max(a * c, b * d);
  }
  RANGE[0] = low === low ? downProduct(low) : 0;
  RANGE[1] = high === high ? upProduct(high) : 0;
  // Underflow never crosses zero.
  if (RANGE[0] < 0 && low >= 0) RANGE[0] = 0;
  if (RANGE[1] > 0 && high <= 0) RANGE[1] = 0;
}

/** RANGE = [a, b] / [c, d], where 0 may be an end of [c, d] but not inside. */
export function over(a: number, b: number, c: number, d: number): void {
  if (c > 0 || d < 0) {
    let low: number;
    let high: number;
    if (c > 0) {
      low = a >= 0 ? a / d : a / c;
      high = b >= 0 ? b / c : b / d;
    } else {
      low = b >= 0 ? b / d : b / c;
      high = a >= 0 ? a / c : a / d;
    }
    RANGE[0] = downProduct(low);
    RANGE[1] = upProduct(high);
    if (RANGE[0] < 0 && low >= 0) RANGE[0] = 0;
    if (RANGE[1] > 0 && high <= 0) RANGE[1] = 0;
  } else if (c === 0 && d > 0 && a >= 0) {
    RANGE[0] = Math.max(0, downProduct(a / d));
    RANGE[1] = Infinity;
  } else if (c === 0 && d > 0 && b <= 0) {
    RANGE[0] = -Infinity;
    RANGE[1] = Math.min(0, upProduct(b / d));
  } else if (d === 0 && c < 0 && a >= 0) {
    RANGE[0] = -Infinity;
    RANGE[1] = Math.min(0, upProduct(a / c));
  } else if (d === 0 && c < 0 && b <= 0) {
    RANGE[0] = Math.max(0, downProduct(b / c));
    RANGE[1] = Infinity;
  } else {
    RANGE[0] = -Infinity;
    RANGE[1] = Infinity;
  }
}

/** RANGE = x^n over [low, high] for a whole n > 0. */
export function wholePower(low: number, high: number, n: number): void {
  const p = power(low, n);
  const q = power(high, n);
  if (n % 2 === 1) {
    RANGE[0] = downFunction(p);
    RANGE[1] = upFunction(q);
    return;
  }
  RANGE[0] = low >= 0 ? Math.max(0, downFunction(p)) : high <= 0 ? Math.max(0, downFunction(q)) : 0;
  RANGE[1] = Math.max(upFunction(p), upFunction(q));
}

/** RANGE = x^y for x ≥ 0. */
export function realPower(xLow: number, xHigh: number, yLow: number, yHigh: number): void {
  const p = power(xLow, yLow);
  const q = power(xLow, yHigh);
  const r = power(xHigh, yLow);
  const s = power(xHigh, yHigh);
  RANGE[0] = Math.max(0, downFunction(Math.min(p, q, r, s)));
  RANGE[1] = upFunction(Math.max(p, q, r, s));
}

/** Whether some angle + n·period lies in [low, high], allowing for rounding. */
export function meets(low: number, high: number, angle: number, period: number): boolean {
  const slack = 1e-13 * (1 + Math.max(Math.abs(low), Math.abs(high)));
  return Math.floor((high - angle + slack) / period) >= Math.ceil((low - angle - slack) / period);
}

/** RANGE = sin over [low, high]. */
export function wave(low: number, high: number): void {
  if (!(high - low < 2 * Math.PI) || Math.abs(low) > 1e9) {
    RANGE[0] = -1;
    RANGE[1] = 1;
    return;
  }
  const p = Math.sin(low);
  const q = Math.sin(high);
  RANGE[0] = meets(low, high, -Math.PI / 2, 2 * Math.PI) ? -1 : Math.max(-1, downFunction(Math.min(p, q)) - 1e-16);
  RANGE[1] = meets(low, high, Math.PI / 2, 2 * Math.PI) ? 1 : Math.min(1, upFunction(Math.max(p, q)) + 1e-16);
}

// ---- Slopes in reverse: what operand `a` gets from entry `i` --------------------------------------------------------

function gain(a: number, low: number, high: number): void {
  const s = SLOPE_LOW[a]! + low;
  const t = SLOPE_HIGH[a]! + high;
  SLOPE_LOW[a] = s === s ? down(s) : -Infinity;
  SLOPE_HIGH[a] = t === t ? up(t) : Infinity;
}

/** The operand moves the entry as it moves itself. */
export function pass(a: number, i: number): void {
  gain(a, SLOPE_LOW[i]!, SLOPE_HIGH[i]!);
}

export function passNegative(a: number, i: number): void {
  gain(a, -SLOPE_HIGH[i]!, -SLOPE_LOW[i]!);
}

/**
 * The operand moves the entry with a slope within RANGE. The product is written out: as arguments it would be boxed.
 */
export function give(a: number, i: number): void {
  const p = SLOPE_LOW[i]!;
  const q = SLOPE_HIGH[i]!;
  const c = RANGE[0];
  const d = RANGE[1];
  let low: number;
  let high: number;
  if (p >= 0) {
    low = c >= 0 ? p * c : q * c;
    high = d >= 0 ? q * d : p * d;
  } else if (q <= 0) {
    low = d >= 0 ? p * d : q * d;
    high = c >= 0 ? q * c : p * c;
  } else if (c >= 0) {
    low = p * d;
    high = q * d;
  } else if (d <= 0) {
    low = q * c;
    high = p * c;
  } else {
    low = Math.min(p * d, q * c);
    high = Math.max(p * c, q * d);
  }
  const s = SLOPE_LOW[a]! + (low === low ? low - Math.abs(low) * ONE_STEP : 0);
  const t = SLOPE_HIGH[a]! + (high === high ? high + Math.abs(high) * ONE_STEP : 0);
  SLOPE_LOW[a] = s === s ? down(s) : -Infinity;
  SLOPE_HIGH[a] = t === t ? up(t) : Infinity;
}

export function giveRange(a: number, i: number, low: number, high: number): void {
  RANGE[0] = low;
  RANGE[1] = high;
  give(a, i);
}

/** Sets an entry to one number. */
export function fix(i: number, x: number): void {
  LOW[i] = x;
  HIGH[i] = x;
}
