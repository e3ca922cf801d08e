/**
 * What is solved for: the k of a `reserve`, the x of a `root`, the lowest or highest over a sweep. Each owns a body,
 * the
 * entries that depend on its unknown, which runs again for every trial.
 */
import {
  blame,
  down,
  EVERYWHERE,
  fix,
  give,
  giveRange,
  HIGH,
  highOf,
  LOW,
  lowOf,
  markUndefined,
  over,
  put,
  putAny,
  RANGE,
  SLOPE_HIGH,
  SLOPE_LOW,
  SOMEWHERE,
  UNDEFINED,
  up,
  VALUE,
  type Unknown,
  type Walks,
} from './enclosures.js';

/** Factors at which a failure of a reserve is looked for. */
const SCAN = [1, 2, 4, 16, 64, 1024, 1e6, 1e12];
const LARGEST_FACTOR = SCAN[SCAN.length - 1]!;

// ---- Reserves at a point --------------------------------------------------------------------------------------------

function trial(tape: Walks, u: Unknown, k: number): number {
  VALUE[u.parameters[0]!] = k;
  tape.point(u.body);
  return VALUE[u.result]!;
}

/** The first k at which the condition fails, at a point; only a k that was seen to fail is taken. */
export function pointReserve(tape: Walks, i: number): void {
  const u = tape.unknownOf(i);
  VALUE[i] = firstFailure(tape, i, u);
}

function firstFailure(tape: Walks, i: number, u: Unknown): number {
  const rest = trial(tape, u, 0);
  if (rest !== rest) return NaN;
  if (rest < 0) return 0;
  let [low, atLow] = [0, rest];
  for (let k = 1; ; k *= 2) {
    const here = trial(tape, u, k);
    if (here !== here) return NaN;
    if (here < 0) {
      const [holding, failing] = falls(x => trial(tape, u, x), low, atLow, k, here, 1e-14, 300);
      return firstBefore(tape, i, u, holding, failing);
    }
    if (k > LARGEST_FACTOR) break;
    [low, atLow] = [k, here];
  }
  const to = provenAtPoint(tape, i, u, LARGEST_FACTOR);
  return to < LARGEST_FACTOR ? failureAfter(tape, u, to, Infinity) : Infinity;
}

/** A search steps over a dip: that it holds up to where it was seen to fail is proven, or an earlier failure found. */
function firstBefore(tape: Walks, i: number, u: Unknown, holding: number, failing: number): number {
  const to = provenAtPoint(tape, i, u, holding);
  return to < holding ? failureAfter(tape, u, to, failing) : failing;
}

function failureAfter(tape: Walks, u: Unknown, to: number, otherwise: number): number {
  for (const step of [1e-9, 1e-8, 1e-7, 1e-6, 1e-5]) {
    const k = to * (1 + step);
    const here = trial(tape, u, k);
    if (!(here < 0)) continue;
    const from = trial(tape, u, to);
    return from >= 0 ? falls(x => trial(tape, u, x), to, from, k, here, 1e-15, 80)[1] : to;
  }
  return otherwise;
}

/** How far it is proven to hold with everything else as it is at the point. */
function provenAtPoint(tape: Walks, i: number, u: Unknown, wanted: number): number {
  const kept = u.free.map(f => [lowOf(f), highOf(f), UNDEFINED[f]!] as const);
  for (const f of u.free) {
    fix(f, VALUE[f]!);
    UNDEFINED[f] = 0;
  }
  const flag = UNDEFINED[i]!;
  const to = provenUpTo(tape, i, u, wanted, 2_000);
  UNDEFINED[i] = flag;
  u.free.forEach((f, n) => {
    [LOW[f], HIGH[f], UNDEFINED[f]] = kept[n]!;
  });
  return to;
}

export function pointRoot(tape: Walks, i: number): void {
  const u = tape.unknownOf(i);
  const [low, high] = [VALUE[u.low]!, VALUE[u.high]!];
  const p = trial(tape, u, low);
  const q = trial(tape, u, high);
  const f = (x: number): number => trial(tape, u, x);
  if (p === 0) VALUE[i] = low;
  else if (q === 0) VALUE[i] = high;
  else if (!(p * q < 0)) VALUE[i] = NaN;
  else
    VALUE[i] = p > 0 ? falls(f, low, p, high, q, 1e-15, 200)[0] : falls(x => -f(x), low, -p, high, -q, 1e-15, 200)[0];
}

/**
 * Where `f` falls below zero between `low` (at least zero) and `high` (below): both sides of it. False position,
 * halving
 * where that stalls.
 */
function falls(
  f: (x: number) => number,
  low: number,
  atLow: number,
  high: number,
  atHigh: number,
  relative: number,
  most: number,
): [number, number] {
  for (let n = 0; n < most && high - low > relative * Math.max(Math.abs(low), Math.abs(high)); n++) {
    const middle = low + (high - low) / 2;
    const halving = n % 3 === 2 || !Number.isFinite(atLow) || !Number.isFinite(atHigh);
    let x = halving ? middle : low + (high - low) * (atLow / (atLow - atHigh));
    if (!(x > low && x < high)) x = middle;
    if (!(x > low && x < high)) break;
    const here = f(x);
    if (here >= 0) {
      [low, atLow] = [x, here === 0 ? 1e-300 : here];
      atHigh /= 2;
    } else {
      [high, atHigh] = [x, here];
      atLow /= 2;
    }
  }
  return [low, high];
}

// ---- Enclosures -----------------------------------------------------------------------------------------------------

/** Encloses the body for an unknown in [low, high]. */
function bodyOver(tape: Walks, u: Unknown, low: number, high: number): void {
  const k = u.parameters[0]!;
  LOW[k] = low;
  HIGH[k] = high;
  tape.enclose(u.body);
}

/** Slopes of the result of a body by its unknowns and by what it reads outside; the outer walk's sums are kept. */
function bodySlopes(tape: Walks, u: Unknown): { by: readonly [number, number][]; free: readonly [number, number][] } {
  const slopes = (entries: readonly number[]): [number, number][] => entries.map(f => [SLOPE_LOW[f]!, SLOPE_HIGH[f]!]);
  const kept = slopes(u.free);
  const clear = (entries: readonly number[]): void => {
    for (const f of entries) SLOPE_LOW[f] = SLOPE_HIGH[f] = 0;
  };
  clear(u.free);
  clear(u.parameters);
  tape.slopes(u.body, [], u.result);
  const found = { by: slopes(u.parameters), free: slopes(u.free) };
  u.free.forEach((f, n) => {
    [SLOPE_LOW[f], SLOPE_HIGH[f]] = kept[n]!;
  });
  return found;
}

/**
 * The first k at which the condition fails, over the whole box: proven to hold up to the lower end, failing everywhere
 * at
 * the upper. Several crossings are no trap: the whole stretch from 0 is proven, not a sign at one k.
 */
export function encloseReserve(tape: Walks, i: number): void {
  const u = tape.unknownOf(i);
  const { result } = u;
  const lower = (k: number): number => {
    bodyOver(tape, u, k, k);
    return lowOf(result);
  };
  const upper = (k: number): number => {
    bodyOver(tape, u, k, k);
    return highOf(result);
  };
  bodyOver(tape, u, 0, 0);
  UNDEFINED[i] = UNDEFINED[i]! | UNDEFINED[result]!;
  if (highOf(result) < 0) return putAny(i, 0, 0);
  const atRest = lowOf(result);
  const high = failingEverywhere(u, upper, highOf(result));
  if (!(atRest >= 0)) return putAny(i, 0, high);
  if (high === Infinity) {
    bodyOver(tape, u, 0, Infinity);
    if (lowOf(result) >= 0 && !(UNDEFINED[result]! & SOMEWHERE)) return putAny(i, Infinity, Infinity);
  }
  putAny(i, provenUpTo(tape, i, u, holdingAt(lower, atRest, high)), high);
}

/** A k at which it fails all over the box, as low as false position finds one. */
function failingEverywhere(u: Unknown, upper: (k: number) => number, rest: number): number {
  let [before, atBefore] = [0, rest];
  for (const k of SCAN) {
    const here = upper(k);
    if (UNDEFINED[u.result]! & SOMEWHERE) break;
    if (here < 0) return falls(upper, before, atBefore, k, here, 1e-7, 60)[1];
    if (k > before) [before, atBefore] = [k, here];
  }
  return Infinity;
}

/** The largest k found at which it holds all over the box. */
function holdingAt(lower: (k: number) => number, atRest: number, high: number): number {
  if (high < Infinity) {
    const close = high * (1 - 3e-7);
    const p = lower(close);
    return p >= 0 ? close : falls(lower, 0, atRest, high, p, 1e-7, 60)[0];
  }
  let low = LARGEST_FACTOR;
  if (lower(low) >= 0) return low;
  while (low > 1e-3 && lower(low / 8) < 0) low /= 8;
  return falls(lower, 0, atRest, low, lower(low), 1e-7, 60)[0];
}

/** The largest k ≤ `wanted` (at which it holds) up to which it is proven throughout. */
function provenUpTo(tape: Walks, i: number, u: Unknown, wanted: number, most = 200): number {
  const { result } = u;
  const stack = [wanted];
  let from = 0;
  for (let n = 0; n < most && stack.length > 0; n++) {
    const to = stack[stack.length - 1]!;
    bodyOver(tape, u, from, to);
    const undefinedHere = UNDEFINED[result]! & SOMEWHERE;
    if (lowOf(result) >= 0 || (!undefinedHere && holdsBetween(tape, u, from, to))) {
      from = to;
      stack.pop();
      continue;
    }
    if (to - from < 1e-9 * wanted) {
      if (undefinedHere) markUndefined(i, SOMEWHERE);
      break;
    }
    stack.push(from + (to - from) / 2);
  }
  return from;
}

/** By the slope over what was enclosed last. Falling: its end decides; rising: its beginning; else from both ends. */
function holdsBetween(tape: Walks, u: Unknown, from: number, to: number): boolean {
  const [low, high] = bodySlopes(tape, u).by[0]!;
  const at = (k: number): number => {
    bodyOver(tape, u, k, k);
    return lowOf(u.result);
  };
  if (high <= 0) return at(to) >= 0;
  if (low >= 0) return at(from) >= 0;
  if (!(low > -Infinity && high < Infinity)) return false;
  const p = at(from);
  const q = at(to);
  return p >= 0 && q >= 0 && (p * high - q * low + low * high * (to - from)) / (high - low) >= 0;
}

/** dk/dx = −gₓ / g_k over the enclosure of k; where g_k has no sign, only the sign of gₓ over all of [0, k]. */
export function slopeOfReserve(tape: Walks, i: number): void {
  const u = tape.unknownOf(i);
  const [low, high] = [lowOf(i), highOf(i)];
  if (low === high && (low === 0 || low === Infinity)) return;
  if (high < Infinity) {
    bodyOver(tape, u, low, high);
    if (!(UNDEFINED[u.result]! & SOMEWHERE)) {
      const { by, free } = bodySlopes(tape, u);
      if (by[0]![1] < 0) {
        over(1, 1, -by[0]![1], -by[0]![0]);
        const [least, most] = [RANGE[0] === RANGE[0] ? Math.max(0, RANGE[0]) : 0, RANGE[1]];
        u.free.forEach((f, n) => {
          const [p, q] = free[n]!;
          const [s, t] = [p >= 0 ? p * least : p * most || 0, q >= 0 ? q * most || 0 : q * least];
          // At zero the reserve stays where it is.
          giveRange(f, i, down4(low <= 0 ? Math.min(0, s) : s), up4(low <= 0 ? Math.max(0, t) : t));
        });
        return;
      }
    }
  }
  bodyOver(tape, u, 0, Math.min(high, LARGEST_FACTOR));
  const { free } = bodySlopes(tape, u);
  u.free.forEach((f, n) => giveRange(f, i, free[n]![0] < 0 ? -Infinity : 0, free[n]![1] > 0 ? Infinity : 0));
}

const down4 = (x: number): number => down(down(down(down(x))));
const up4 = (x: number): number => up(up(up(up(x))));

export function encloseRoot(tape: Walks, i: number): void {
  const u = tape.unknownOf(i);
  const { result } = u;
  let [low, high] = [lowOf(u.low), highOf(u.high)];
  bodyOver(tape, u, low, highOf(u.low));
  const [pLow, pHigh] = [lowOf(result), highOf(result)];
  UNDEFINED[i] = UNDEFINED[i]! | UNDEFINED[result]!;
  bodyOver(tape, u, lowOf(u.high), high);
  const [qLow, qHigh] = [lowOf(result), highOf(result)];
  UNDEFINED[i] = UNDEFINED[i]! | UNDEFINED[result]!;
  // A zero at an end, as a condition before it leaves it, is one within rounding.
  const size = Math.max(Math.abs(pLow), Math.abs(pHigh)) + Math.max(Math.abs(qLow), Math.abs(qHigh));
  const edge = 1e-9 * Math.min(size, Number.MAX_VALUE);
  if ((pLow > edge && qLow > edge) || (pHigh < -edge && qHigh < -edge)) {
    markUndefined(i, EVERYWHERE);
    return put(i, low, high);
  }
  if (!((pLow >= -edge && qHigh <= edge) || (pHigh <= edge && qLow >= -edge))) markUndefined(i, SOMEWHERE);
  for (let n = 0; n < 30; n++) {
    bodyOver(tape, u, low, high);
    if (UNDEFINED[result]! & SOMEWHERE) markUndefined(i, SOMEWHERE);
    const narrower = narrowed(tape, u, low, high, n);
    if (!narrower) break;
    [low, high] = narrower;
  }
  put(i, low, high);
}

/** Interval Newton; where the slope has no sign, pieces without a zero are cut from both ends. Null where it stalls. */
function narrowed(tape: Walks, u: Unknown, low: number, high: number, n: number): [number, number] | null {
  const [least, most] = bodySlopes(tape, u).by[0]!;
  const { result } = u;
  if (least > 0 || most < 0) {
    const middle = low + (high - low) / 2;
    bodyOver(tape, u, middle, middle);
    over(-highOf(result), -lowOf(result), least, most);
    const slack = Math.abs(middle) * 1e-15;
    const l = Math.max(low, middle + RANGE[0] - slack);
    const h = Math.min(high, middle + RANGE[1] + slack);
    if (l > h) return null;
    return h - l < 0.999 * (high - low) ? [l, h] : null;
  }
  const cut = (high - low) / 8;
  const before = high - low;
  if (!(cut > 1e-12 * (Math.abs(low) + Math.abs(high)))) return null;
  const withoutZero = (from: number, to: number): boolean => {
    bodyOver(tape, u, from, to);
    return lowOf(result) > 0 || highOf(result) < 0;
  };
  while (high - low > cut && withoutZero(low, low + cut)) low += cut;
  while (high - low > cut && withoutZero(high - cut, high)) high -= cut;
  return high - low > 0.95 * before && n > 3 ? null : [low, high];
}

export function slopeOfRoot(tape: Walks, i: number): void {
  const u = tape.unknownOf(i);
  bodyOver(tape, u, lowOf(i), highOf(i));
  const { by, free } = bodySlopes(tape, u);
  const [low, high] = by[0]!;
  u.free.forEach((f, n) => {
    const [p, q] = free[n]!;
    if (p === 0 && q === 0) return;
    if (low > 0 || high < 0) over(-q, -p, low, high);
    else {
      RANGE[0] = -Infinity;
      RANGE[1] = Infinity;
    }
    give(f, i);
  });
  // Where the search begins and ends moves nothing, as long as the zero lies between.
}

// ---- The lowest or highest over a sweep -----------------------------------------------------------------------------

/** Boxes that one extreme inside a larger proof may take. */
const MOST_BOXES = 400;

/** Lowest (`sign` 1) or highest (−1) at a point of everything else: the bound that the sweep can't go beyond. */
export function pointExtreme(tape: Walks, i: number, sign: 1 | -1): void {
  const u = tape.unknownOf(i);
  const kept = u.free.map(f => [lowOf(f), highOf(f), UNDEFINED[f]!] as const);
  for (const f of u.free) {
    fix(f, VALUE[f]!);
    UNDEFINED[f] = 0;
  }
  const { bound, undefinedSomewhere } = boundOf(tape, u, sign, 1e-9);
  VALUE[i] = undefinedSomewhere ? NaN : sign * bound;
  u.free.forEach((f, n) => {
    [LOW[f], HIGH[f], UNDEFINED[f]] = kept[n]!;
  });
}

export function encloseExtreme(tape: Walks, i: number, sign: 1 | -1): void {
  const u = tape.unknownOf(i);
  const before = blame.entry;
  const { bound, attained, undefinedSomewhere } = boundOf(tape, u, sign, 1e-4);
  blame.entry = before;
  if (undefinedSomewhere) markUndefined(i, SOMEWHERE);
  putAny(i, sign > 0 ? bound : -attained, sign > 0 ? attained : -bound);
}

/**
 * Bounds of the extreme over the box of everything else: nothing goes beyond `bound`, and at every point of the box
 * some
 * point of the sweep comes as far as `attained`. Both are of sign · result.
 */
function boundOf(
  tape: Walks,
  u: Unknown,
  sign: 1 | -1,
  accuracy: number,
): { bound: number; attained: number; undefinedSomewhere: boolean } {
  const { parameters, result } = u;
  const ranges = parameters.map(k => [lowOf(k), highOf(k)] as [number, number]);
  const least = (): number => (sign > 0 ? lowOf(result) : -highOf(result));
  const most = (): number => (sign > 0 ? highOf(result) : -lowOf(result));
  let attained = Infinity;
  let bound = Infinity;
  let undefinedSomewhere = false;
  const boxes: { readonly box: [number, number][]; readonly low: number }[] = [];
  const consider = (box: [number, number][]): void => {
    parameters.forEach((k, n) => ([LOW[k], HIGH[k]] = box[n]!));
    tape.enclose(u.body);
    if (!(UNDEFINED[result]! & SOMEWHERE)) {
      const { by } = bodySlopes(tape, u);
      let moved = false;
      by.forEach(([low, high], n) => {
        const [p, q] = sign > 0 ? [low, high] : [-high, -low];
        if (box[n]![0] === box[n]![1] || !(p >= 0 || q <= 0)) return;
        const end = p >= 0 ? box[n]![0] : box[n]![1];
        box[n] = [end, end];
        moved = true;
      });
      if (moved) {
        parameters.forEach((k, n) => ([LOW[k], HIGH[k]] = box[n]!));
        tape.enclose(u.body);
      }
    }
    const low = UNDEFINED[result]! & SOMEWHERE ? -Infinity : least();
    boxes.push({ box, low });
    parameters.forEach((k, n) => fix(k, (box[n]![0] + box[n]![1]) / 2));
    tape.enclose(u.body);
    if (!(UNDEFINED[result]! & SOMEWHERE)) attained = Math.min(attained, most());
  };
  consider(ranges.map(([low, high]) => [low, high]));
  for (let n = 0; n < MOST_BOXES; n++) {
    let worst = 0;
    boxes.forEach(({ low }, k) => {
      if (low < boxes[worst]!.low) worst = k;
    });
    const { box, low } = boxes[worst]!;
    const near = accuracy * Math.max(Math.abs(low), Math.abs(attained));
    const widest = box.reduce(
      (w, [from, to], k) => ((to - from) / width(ranges[k]!) > (box[w]![1] - box[w]![0]) / width(ranges[w]!) ? k : w),
      0,
    );
    const [from, to] = box[widest] ?? [0, 0];
    if ((low > -Infinity && attained - low <= near) || !(to - from > 1e-9 * width(ranges[widest] ?? [0, 1]))) break;
    boxes.splice(worst, 1);
    const middle = splitAt(tape, u, parameters[widest]!, from, to);
    consider(box.map((side, k) => (k === widest ? [from, middle] : [...side])));
    consider(box.map((side, k) => (k === widest ? [middle, to] : [...side])));
  }
  for (const { low } of boxes) bound = Math.min(bound, low);
  if (bound === -Infinity) undefinedSomewhere = true;
  parameters.forEach((k, n) => ([LOW[k], HIGH[k]] = ranges[n]!));
  tape.enclose(u.body);
  return { bound: Math.min(bound, attained), attained, undefinedSomewhere };
}

/** The extreme moves with what its body reads as steeply as the body does somewhere on the sweep. */
export function slopeOfExtreme(tape: Walks, i: number): void {
  const u = tape.unknownOf(i);
  tape.enclose(u.body);
  const { free } = bodySlopes(tape, u);
  u.free.forEach((f, n) => giveRange(f, i, free[n]![0], free[n]![1]));
}

const width = ([from, to]: readonly [number, number]): number => to - from || 1;

/** A breakpoint of a table that is asked with the unknown itself, where there is one inside: kinks become ends. */
function splitAt(tape: Walks, u: Unknown, parameter: number, from: number, to: number): number {
  const middle = (from + to) / 2;
  let best = middle;
  let distance = Infinity;
  for (const i of u.body) {
    if (tape.a[i] !== parameter || !tape.isLookup(i)) continue;
    for (const key of tape.tableOf(i).keys as Float64Array) {
      if (key <= from || key >= to || Math.abs(key - middle) >= distance) continue;
      [best, distance] = [key, Math.abs(key - middle)];
    }
  }
  return best;
}
