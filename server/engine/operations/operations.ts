/**
 * The operations, one row each: how many operands it has, its value, the enclosure of it over a box, the enclosure of
 * its slopes, how it grows where its operands do, where it has values and what it is called. The type asks for all that
 * a proof needs, so that no operation can be added without it.
 */
import type { FindingCode } from '../../language/index.js';
import { power } from './power.js';
import { COMPARISON_TOLERANCE, nearlyEqual, Op } from './op.js';
import { reserve, root } from './solvers.js';
import { commonKeyRange, keyRange, lookup, lookup2, slope } from './table.js';
import {
  down,
  downFunction,
  EVERYWHERE,
  give,
  giveRange,
  HIGH,
  highOf,
  LOW,
  lowOf,
  markUndefined,
  meets,
  over,
  pass,
  passNegative,
  put,
  putAny,
  RANGE,
  realPower,
  SLOPE_HIGH,
  SLOPE_LOW,
  SOMEWHERE,
  times,
  UNDEFINED,
  up,
  upFunction,
  VALUE,
  wave,
  wholePower,
  type Walks,
} from './enclosures.js';
import { encloseTable, encloseTable2, slopeByFirst, slopeBySecond, slopeOfTable } from './table-enclosures.js';
import {
  encloseExtreme,
  encloseReserve,
  encloseRoot,
  pointExtreme,
  pointReserve,
  pointRoot,
  slopeOfExtreme,
  slopeOfReserve,
  slopeOfRoot,
} from './unknowns.js';
import type { TableData } from './table.js';

/** Works on entry `i` of a tape with operands `a`, `b`, `c`. */
type Step = (tape: Walks, i: number, a: number, b: number, c: number) => void;

/**
 * Growth of a result by the values and the growths of its operands, the chain rule; NaN where it has no slope but
 * moves.
 */
type Growth = (
  x: number,
  y: number,
  z: number,
  value: number,
  dx: number,
  dy: number,
  dz: number,
  table: TableData | null,
) => number;

/** What operations calculate with that need more than the numbers of their operands. */
export interface Calculation {
  tableOf(i: number): TableData;
  /** How far a source of variation stands from its nominal value. */
  deviation(i: number): number;
  /** A worst or statistical case, which needs the whole graph below an entry. */
  reading(i: number): number;
  /** What depends on an unknown, given to `solver` as a function of it. */
  solve(i: number, solver: (f: (x: number) => number, low: number, high: number) => number): number;
}

interface Row {
  /** How many of its three places hold operands; what is solved for reads its operands from its detail. */
  readonly operands: 0 | 1 | 2 | 3 | typeof SOLVED;
  /** Domain errors give NaN, which is traced back to the operation that made it. */
  readonly value: (x: number, y: number, z: number) => number;
  /** The number of entry `i` where it takes more than its operands; null where nothing calculates it anew. */
  readonly calculate?: ((calculation: Calculation, i: number, x: number, y: number) => number) | null;
  readonly growth: Growth;
  /** What it is where it comes to nothing; `not-a-number` where nothing better is known. */
  readonly failure?: FindingCode;
  /** What it is called where it stands in the way of a proof. */
  readonly name?: string;
  /** Where it has values, of one operand; NaN for one that only may not be zero. */
  readonly domain?: (tape: Walks, i: number, isFirst: boolean) => readonly [number, number] | null;
  /** Whether values leave every bound while the operand that decides it goes from `p` to `q`. */
  readonly meetsPole?: (tape: Walks, i: number, p: number, q: number) => boolean;
  /** Set where the second operand decides whether there is a value. */
  readonly isDefinedBySecond?: true;
  /** Set where it is a condition, 1 or 0. */
  readonly isTruth?: true;
}

interface ProvenRow extends Row {
  readonly enclose: Step;
  readonly slopes: Step;
  /** The value on a tape, for operations that need more than their operands. */
  readonly point?: Step;
}

/** A condition is proved as a number that is at least zero where it holds, by another row. */
interface LoweredRow extends Row {
  readonly provenAs: Op;
}

type Operation = ProvenRow | LoweredRow;

/** Operands of what is solved for: as many as its body needs. */
export const SOLVED = 255;

// ---- Pieces of rows -------------------------------------------------------------------------------------------------

const none = (): void => undefined;
const notANumber = (): number => NaN;
const unmoved: Growth = () => 0;
const asFirst: Growth = (_x, _y, _z, _v, dx) => dx;
/** Of an operation without a slope that could be told. */
const unknownGrowth: Growth = (_x, _y, _z, _v, dx, dy, dz) => (dx !== 0 || dy !== 0 || dz !== 0 ? NaN : 0);
/** By the derivative of a function of one operand. */
const along =
  (derivative: (x: number, value: number) => number): Growth =>
  (x, _y, _z, value, dx) =>
    dx === 0 ? 0 : dx * derivative(x, value);

const rising =
  (f: (x: number) => number): Step =>
  (_tape, i, a) =>
    put(i, downFunction(f(lowOf(a))), upFunction(f(highOf(a))));

/** Rows of functions that rise in steps. */
const stepped = (f: (x: number) => number): ProvenRow => ({
  operands: 1,
  value: f,
  growth: unknownGrowth,
  enclose: (_tape, i, a) => put(i, f(lowOf(a)), f(highOf(a))),
  slopes: (_tape, i, a) => {
    if (LOW[i] !== HIGH[i]) giveRange(a, i, 0, Infinity);
  },
});

/** Rounding at the edge of a domain: 1e-12 of what the operand was calculated from. */
function edge(tape: Walks, entry: number): number {
  const x = tape.a[entry]!;
  const y = tape.b[entry]!;
  return 1e-12 * Math.max(Math.abs(lowOf(x)), Math.abs(highOf(x)), Math.abs(lowOf(y)), Math.abs(highOf(y)));
}

/** RANGE = 1 / √(1 − x²) over an operand. */
function slopeOfArc(a: number): void {
  const most = Math.max(Math.abs(lowOf(a)), Math.abs(highOf(a)));
  const least = lowOf(a) > 0 ? lowOf(a) : highOf(a) < 0 ? -highOf(a) : 0;
  RANGE[0] = least < 1 ? downFunction(1 / Math.sqrt(upFunction(1 - least * least))) : 1;
  RANGE[1] = most < 1 ? upFunction(1 / Math.sqrt(downFunction(1 - most * most))) : Infinity;
}

function markOutsideUnit(i: number, a: number): void {
  if (lowOf(a) < -1 - 1e-12 || highOf(a) > 1 + 1e-12)
    markUndefined(i, highOf(a) < -1 || lowOf(a) > 1 ? EVERYWHERE : SOMEWHERE);
}

const unit = (x: number): number => Math.max(-1, Math.min(1, x));

/** How far a comparison is from being missed, its tolerance inside (`sign` 1) or outside (`sign` −1). */
function encloseComparison(i: number, a: number, b: number, sign: 1 | -1): void {
  const low = lowOf(b) - highOf(a);
  const high = highOf(b) - lowOf(a);
  const most =
    COMPARISON_TOLERANCE * Math.max(Math.abs(lowOf(a)), Math.abs(highOf(a)), Math.abs(lowOf(b)), Math.abs(highOf(b)));
  // The tolerance belongs to the sides as they are at each point: somewhere in [0, most].
  const least = LOW[a] === HIGH[a] && LOW[b] === HIGH[b] ? most * (1 - 1e-6) : 0;
  put(i, downFunction(sign > 0 ? low + least : low - most), upFunction(sign > 0 ? high + most : high - least));
}

const slopesOfComparison: Step = (_tape, i, a, b) => {
  giveRange(a, i, -1 - 2 * COMPARISON_TOLERANCE, -1 + 2 * COMPARISON_TOLERANCE);
  giveRange(b, i, 1 - 2 * COMPARISON_TOLERANCE, 1 + 2 * COMPARISON_TOLERANCE);
};

const closeness = (x: number, y: number): number => COMPARISON_TOLERANCE * Math.max(Math.abs(x), Math.abs(y));

/** Applied over allowable: rises with the one and falls with the other in every case of signs. */
function use(x: number, y: number): number {
  if (x !== x || y !== y) return NaN;
  if (y > 0) return x / y;
  if (x < 0) return y / x;
  return x === 0 && y === 0 ? 1 : Infinity;
}

function definedPower(x: number, y: number): number {
  if (y === 2) return x * x;
  if (y === 3) return x * x * x;
  return (x < 0 && !Number.isInteger(y)) || (x === 0 && y < 0) ? NaN : power(x, y);
}

function enclosePower(tape: Walks, i: number, a: number, b: number): void {
  const n = lowOf(b);
  const fixed = n === HIGH[b];
  if (fixed && Number.isInteger(n) && n > 0) wholePower(lowOf(a), highOf(a), n);
  else if (fixed && Number.isInteger(n) && n < 0) {
    if (lowOf(a) <= 0 && highOf(a) >= 0) markUndefined(i, LOW[a] === 0 && HIGH[a] === 0 ? EVERYWHERE : SOMEWHERE);
    wholePower(lowOf(a), highOf(a), -n);
    over(1, 1, RANGE[0], RANGE[1]);
  } else {
    if (lowOf(a) < -edge(tape, a) || (lowOf(a) <= 0 && n < 0)) markUndefined(i, highOf(a) < 0 ? EVERYWHERE : SOMEWHERE);
    realPower(Math.max(0, lowOf(a)), Math.max(0, highOf(a)), n, highOf(b));
  }
  put(i, RANGE[0], RANGE[1]);
}

function slopesOfPower(_tape: Walks, i: number, a: number, b: number): void {
  const n = lowOf(b);
  const fixed = n === HIGH[b];
  if (fixed && n === 0) return;
  if (fixed && Number.isInteger(n) && n > 1) {
    wholePower(lowOf(a), highOf(a), n - 1);
    times(RANGE[0], RANGE[1], n, n);
    give(a, i);
  } else if (lowOf(a) > 0) {
    realPower(lowOf(a), highOf(a), down(n - 1), up(highOf(b) - 1));
    times(RANGE[0], RANGE[1], n, highOf(b));
    give(a, i);
    if (fixed) return;
    times(lowOf(i), highOf(i), downFunction(Math.log(lowOf(a))), upFunction(Math.log(highOf(a))));
    give(b, i);
  } else {
    giveRange(a, i, n >= 0 && fixed ? 0 : -Infinity, Infinity);
    if (!fixed) giveRange(b, i, -Infinity, Infinity);
  }
}

function encloseAngle(i: number, a: number, b: number): void {
  const least = lowOf(a) + 0;
  const most = highOf(a) + 0;
  // Across the cut of the angle, behind the origin.
  if (least < 0 && most >= 0 && lowOf(b) <= 0) return putAny(i, -upFunction(Math.PI), upFunction(Math.PI));
  const p = Math.atan2(least, lowOf(b));
  const q = Math.atan2(least, highOf(b));
  const r = Math.atan2(most, lowOf(b));
  const s = Math.atan2(most, highOf(b));
  // A box that touches the origin from above holds every angle between its corners and 0.
  const touches = least === 0 && lowOf(b) <= 0 && highOf(b) >= 0;
  put(
    i,
    downFunction(Math.min(p, q, r, s, touches ? 0 : Infinity)),
    upFunction(Math.max(p, q, r, s, touches && lowOf(b) < 0 ? Math.PI : -Infinity)),
  );
}

function slopesOfAngle(_tape: Walks, i: number, a: number, b: number): void {
  wholePower(lowOf(a), highOf(a), 2);
  const [p, q] = [RANGE[0], RANGE[1]];
  wholePower(lowOf(b), highOf(b), 2);
  const low = down(p + RANGE[0]);
  const high = up(q + RANGE[1]);
  if (!(low > 0) || (lowOf(a) < 0 && highOf(a) >= 0 && lowOf(b) <= 0)) {
    giveRange(a, i, -Infinity, Infinity);
    giveRange(b, i, -Infinity, Infinity);
    return;
  }
  over(lowOf(b), highOf(b), low, high);
  give(a, i);
  over(-highOf(a), -lowOf(a), low, high);
  give(b, i);
}

function encloseRemainder(i: number, a: number, b: number): void {
  const least = lowOf(b);
  const most = highOf(b);
  if (least <= 0 && most >= 0) {
    markUndefined(i, least === 0 && most === 0 ? EVERYWHERE : SOMEWHERE);
    return put(i, least, most);
  }
  if (least === most && Math.floor(lowOf(a) / least) === Math.floor(highOf(a) / least)) {
    const turns = Math.floor(lowOf(a) / least);
    const slack = 4e-16 * (Math.abs(lowOf(a)) + Math.abs(highOf(a)) + Math.abs(turns * least));
    return put(i, lowOf(a) - turns * least - slack, highOf(a) - turns * least + slack);
  }
  put(i, Math.min(0, least), Math.max(0, most));
}

/** RANGE = slopes of the remainder by both; whole turns are steps. */
function slopesOfRemainder(_tape: Walks, i: number, a: number, b: number): void {
  const sameTurn = LOW[b] === HIGH[b] && Math.floor(lowOf(a) / lowOf(b)) === Math.floor(highOf(a) / lowOf(b));
  if (sameTurn) return pass(a, i);
  giveRange(a, i, -Infinity, Infinity);
  if (LOW[b] !== HIGH[b]) giveRange(b, i, -Infinity, Infinity);
}

function encloseUse(i: number, a: number, b: number): void {
  const p = use(lowOf(a), highOf(b));
  const q = use(highOf(a), lowOf(b));
  putAny(i, Number.isFinite(p) ? downFunction(p) : p, Number.isFinite(q) ? upFunction(q) : q);
  if (lowOf(b) <= 0 && highOf(b) > 0 && lowOf(a) < 0) LOW[i] = -Infinity;
  if (lowOf(i) < 0 && p >= 0) LOW[i] = 0;
}

function slopesOfUse(_tape: Walks, i: number, a: number, b: number): void {
  if (lowOf(b) > 0) {
    over(1, 1, lowOf(b), highOf(b));
    give(a, i);
    over(-highOf(i), -lowOf(i), lowOf(b), highOf(b));
    give(b, i);
  } else if (highOf(b) < 0 && highOf(a) < 0) {
    over(1, 1, lowOf(a), highOf(a));
    give(b, i);
    over(-highOf(i), -lowOf(i), lowOf(a), highOf(a));
    give(a, i);
  } else {
    giveRange(a, i, 0, Infinity);
    giveRange(b, i, -Infinity, 0);
  }
}

const least: Step = (_tape, i, a, b) => putAny(i, Math.min(lowOf(a), lowOf(b)), Math.min(highOf(a), highOf(b)));
const most: Step = (_tape, i, a, b) => putAny(i, Math.max(lowOf(a), lowOf(b)), Math.max(highOf(a), highOf(b)));

/** Both operands where it is open which one counts: their slopes keep their sign. */
function shareBetween(i: number, a: number, b: number): void {
  giveRange(a, i, 0, 1);
  giveRange(b, i, 0, 1);
}

const asOneNumber: Pick<ProvenRow, 'enclose' | 'slopes'> = {
  enclose: (_tape, i, a) => putAny(i, lowOf(a), highOf(a)),
  slopes: (_tape, i, a) => pass(a, i),
};

/** What no proof can look into: its value is told, and nothing is said of it over a box. */
const opaque: Pick<ProvenRow, 'enclose' | 'slopes'> = {
  enclose: (_tape, i) => {
    markUndefined(i, SOMEWHERE);
    putAny(i, -Infinity, Infinity);
  },
  slopes: (_tape, i, a) => giveRange(a, i, -Infinity, Infinity),
};

const logarithm = (name: string, f: (x: number) => number, scale: number): ProvenRow => ({
  operands: 1,
  failure: 'logarithm-of-nonpositive',
  name,
  domain: () => [Number.MIN_VALUE, Infinity],
  value: x => (x <= 0 ? NaN : f(x)),
  growth: along(x => scale / x),
  enclose: (_tape, i, a) => {
    if (lowOf(a) <= 0) markUndefined(i, highOf(a) <= 0 ? EVERYWHERE : SOMEWHERE);
    put(i, lowOf(a) > 0 ? downFunction(f(lowOf(a))) : -Infinity, highOf(a) > 0 ? upFunction(f(highOf(a))) : -Infinity);
  },
  slopes: (_tape, i, a) => {
    if (lowOf(a) > 0) {
      over(scale, scale, lowOf(a), highOf(a));
      RANGE[0] = downFunction(RANGE[0]);
      RANGE[1] = upFunction(RANGE[1]);
    } else {
      RANGE[0] = 0;
      RANGE[1] = Infinity;
    }
    give(a, i);
  },
});

const notZero: Row['domain'] = (_tape, _i, isFirst) => (isFirst ? null : [NaN, NaN]);
const crossesZero = (_tape: Walks, _i: number, p: number, q: number): boolean => p < 0 && q > 0;

function domainOfPower(tape: Walks, i: number, isFirst: boolean): readonly [number, number] | null {
  if (!isFirst) return null;
  return Number.isInteger(lowOf(tape.b[i]!)) ? [NaN, NaN] : [0, Infinity];
}

function poleOfPower(tape: Walks, i: number, p: number, q: number): boolean {
  const exponent = highOf(tape.b[i]!);
  return exponent < 0 && Number.isInteger(exponent) && p < 0 && q > 0;
}

// ---- The table ------------------------------------------------------------------------------------------------------

export const OPERATIONS: Readonly<Record<Op, Operation>> = {
  [Op.Constant]: {
    operands: 0,
    calculate: null,
    value: x => x,
    growth: unmoved,
    enclose: none,
    slopes: none,
    point: none,
  },
  [Op.Undetermined]: {
    operands: 0,
    calculate: null,
    value: notANumber,
    growth: unmoved,
    enclose: none,
    slopes: none,
    point: none,
  },
  [Op.Parameter]: {
    operands: 0,
    calculate: null,
    value: x => x,
    growth: unmoved,
    enclose: none,
    slopes: none,
    point: none,
  },
  [Op.Source]: { operands: 0, value: x => x, growth: unmoved, enclose: none, slopes: none, point: none },
  [Op.Slot]: { operands: 1, calculate: null, value: x => x, growth: asFirst, ...asOneNumber },
  [Op.Copy]: { operands: 1, value: x => x, growth: asFirst, ...asOneNumber },
  [Op.Tolerance]: {
    operands: 3,
    calculate: (at, i, x) => x + at.deviation(i),
    value: x => x,
    growth: asFirst,
    ...asOneNumber,
  },
  [Op.Add]: {
    operands: 2,
    value: (x, y) => x + y,
    growth: (_x, _y, _z, _v, dx, dy) => dx + dy,
    enclose: (_tape, i, a, b) => put(i, down(lowOf(a) + lowOf(b)), up(highOf(a) + highOf(b))),
    slopes: (_tape, i, a, b) => {
      pass(a, i);
      pass(b, i);
    },
  },
  [Op.Rounding]: {
    operands: 2,
    value: (x, y) => {
      // Two sum (Knuth, The Art of Computer Programming, volume 2, section 4.2.2): exact unless the sum overflows.
      const total = x + y;
      const added = total - x;
      const rounding = x - (total - added) + (y - added);
      return Number.isFinite(total) ? rounding : 0;
    },
    growth: unmoved,
    enclose: (_tape, i, a, b) => {
      const most = Math.max(Math.abs(lowOf(a) + lowOf(b)), Math.abs(highOf(a) + highOf(b))) * Number.EPSILON;
      put(i, -most, most);
    },
    slopes: none,
  },
  [Op.Subtract]: {
    operands: 2,
    value: (x, y) => x - y,
    growth: (_x, _y, _z, _v, dx, dy) => dx - dy,
    enclose: (_tape, i, a, b) => put(i, down(lowOf(a) - highOf(b)), up(highOf(a) - lowOf(b))),
    slopes: (_tape, i, a, b) => {
      pass(a, i);
      passNegative(b, i);
    },
  },
  [Op.Multiply]: {
    operands: 2,
    value: (x, y) => x * y,
    growth: (x, y, _z, _v, dx, dy) => dx * y + dy * x,
    enclose: (_tape, i, a, b) => {
      if (a === b) wholePower(lowOf(a), highOf(a), 2);
      else times(lowOf(a), highOf(a), lowOf(b), highOf(b));
      put(i, RANGE[0], RANGE[1]);
    },
    slopes: (_tape, i, a, b) => {
      giveRange(a, i, lowOf(b), highOf(b));
      giveRange(b, i, lowOf(a), highOf(a));
    },
  },
  [Op.Divide]: {
    operands: 2,
    failure: 'division-by-zero',
    name: '/',
    domain: notZero,
    meetsPole: crossesZero,
    isDefinedBySecond: true,
    value: (x, y) => (y === 0 ? NaN : x / y),
    growth: (x, y, _z, _v, dx, dy) => dx / y - (dy * x) / (y * y),
    enclose: (_tape, i, a, b) => {
      if (lowOf(b) <= 0 && highOf(b) >= 0) markUndefined(i, LOW[b] === 0 && HIGH[b] === 0 ? EVERYWHERE : SOMEWHERE);
      over(lowOf(a), highOf(a), lowOf(b), highOf(b));
      put(i, RANGE[0], RANGE[1]);
    },
    slopes: (_tape, i, a, b) => {
      if (lowOf(b) <= 0 && highOf(b) >= 0) {
        giveRange(a, i, -Infinity, Infinity);
        giveRange(b, i, -Infinity, Infinity);
        return;
      }
      over(1, 1, lowOf(b), highOf(b));
      give(a, i);
      over(-highOf(i), -lowOf(i), lowOf(b), highOf(b));
      give(b, i);
    },
  },
  [Op.Negate]: {
    operands: 1,
    value: x => -x,
    growth: (_x, _y, _z, _v, dx) => -dx,
    enclose: (_tape, i, a) => putAny(i, -highOf(a), -lowOf(a)),
    slopes: (_tape, i, a) => passNegative(a, i),
  },
  [Op.Power]: {
    operands: 2,
    failure: 'power-undefined',
    name: '^',
    domain: domainOfPower,
    meetsPole: poleOfPower,
    value: definedPower,
    growth: (x, y, _z, value, dx, dy) =>
      (dx === 0 ? 0 : dx * y * power(x, y - 1)) + (dy === 0 ? 0 : dy * value * Math.log(x)),
    enclose: enclosePower,
    slopes: slopesOfPower,
  },
  [Op.Square]: {
    operands: 1,
    value: x => x * x,
    growth: (x, _y, _z, _v, dx) => 2 * x * dx,
    enclose: (_tape, i, a) => {
      wholePower(lowOf(a), highOf(a), 2);
      put(i, RANGE[0], RANGE[1]);
    },
    slopes: (_tape, i, a) => giveRange(a, i, 2 * lowOf(a), 2 * highOf(a)),
  },
  [Op.SquareRoot]: {
    operands: 1,
    failure: 'root-of-negative',
    name: 'sqrt',
    domain: () => [0, Infinity],
    value: x => (x < 0 ? NaN : Math.sqrt(x)),
    growth: along((_x, value) => 1 / (2 * value)),
    enclose: (tape, i, a) => {
      if (lowOf(a) < 0 && lowOf(a) < -edge(tape, a)) markUndefined(i, highOf(a) < 0 ? EVERYWHERE : SOMEWHERE);
      put(i, lowOf(a) > 0 ? down(Math.sqrt(lowOf(a))) : 0, highOf(a) > 0 ? up(Math.sqrt(highOf(a))) : 0);
    },
    slopes: (_tape, i, a) => {
      over(0.5, 0.5, lowOf(i), highOf(i));
      if (!(lowOf(i) > 0)) {
        RANGE[0] = highOf(i) > 0 ? 0.49 / highOf(i) : 0;
        RANGE[1] = Infinity;
      }
      give(a, i);
    },
  },
  [Op.CubeRoot]: {
    operands: 1,
    value: Math.cbrt,
    growth: along((_x, value) => 1 / (3 * value * value)),
    enclose: rising(Math.cbrt),
    slopes: (_tape, i, a) => {
      const high = Math.max(Math.abs(lowOf(i)), Math.abs(highOf(i)));
      const low = lowOf(i) > 0 ? lowOf(i) : highOf(i) < 0 ? -highOf(i) : 0;
      giveRange(
        a,
        i,
        high > 0 ? downFunction(1 / (3 * high * high)) : 0,
        low > 0 ? upFunction(1 / (3 * low * low)) : Infinity,
      );
    },
  },
  [Op.Absolute]: {
    operands: 1,
    value: Math.abs,
    growth: along(Math.sign),
    enclose: (_tape, i, a) => {
      if (lowOf(a) >= 0) put(i, lowOf(a), highOf(a));
      else if (highOf(a) <= 0) put(i, -highOf(a), -lowOf(a));
      else put(i, 0, Math.max(-lowOf(a), highOf(a)));
    },
    slopes: (_tape, i, a) => giveRange(a, i, lowOf(a) >= 0 ? 1 : -1, highOf(a) <= 0 ? -1 : 1),
  },
  [Op.Minimum]: {
    operands: 2,
    value: (x, y) => (x !== x || y !== y ? NaN : x < y ? x : y),
    growth: (x, y, _z, _v, dx, dy) => (x <= y ? dx : dy),
    enclose: least,
    slopes: (_tape, i, a, b) => {
      if (highOf(a) <= lowOf(b)) pass(a, i);
      else if (highOf(b) <= lowOf(a)) pass(b, i);
      else shareBetween(i, a, b);
    },
  },
  [Op.Maximum]: {
    operands: 2,
    value: (x, y) => (x !== x || y !== y ? NaN : x > y ? x : y),
    growth: (x, y, _z, _v, dx, dy) => (x >= y ? dx : dy),
    enclose: most,
    slopes: (_tape, i, a, b) => {
      if (lowOf(a) >= highOf(b)) pass(a, i);
      else if (lowOf(b) >= highOf(a)) pass(b, i);
      else shareBetween(i, a, b);
    },
  },
  [Op.Exp]: {
    operands: 1,
    value: Math.exp,
    growth: along((_x, value) => value),
    enclose: (_tape, i, a) => put(i, Math.max(0, downFunction(Math.exp(lowOf(a)))), upFunction(Math.exp(highOf(a)))),
    slopes: (_tape, i, a) => giveRange(a, i, lowOf(i), highOf(i)),
  },
  [Op.Ln]: logarithm('ln', Math.log, 1),
  [Op.Log10]: logarithm('log10', Math.log10, Math.LOG10E),
  [Op.Sin]: {
    operands: 1,
    value: Math.sin,
    growth: along(Math.cos),
    enclose: (_tape, i, a) => {
      wave(lowOf(a), highOf(a));
      put(i, RANGE[0], RANGE[1]);
    },
    slopes: (_tape, i, a) => {
      wave(down(lowOf(a) + Math.PI / 2), up(highOf(a) + Math.PI / 2));
      give(a, i);
    },
  },
  [Op.Cos]: {
    operands: 1,
    value: Math.cos,
    growth: along(x => -Math.sin(x)),
    enclose: (_tape, i, a) => {
      wave(down(lowOf(a) + Math.PI / 2), up(highOf(a) + Math.PI / 2));
      put(i, RANGE[0], RANGE[1]);
    },
    slopes: (_tape, i, a) => {
      wave(lowOf(a), highOf(a));
      giveRange(a, i, -RANGE[1], -RANGE[0]);
    },
  },
  [Op.Tan]: {
    operands: 1,
    name: 'tan',
    meetsPole: (_tape, _i, p, q) => Math.floor(q / Math.PI - 0.5) > Math.floor(p / Math.PI - 0.5),
    value: Math.tan,
    growth: along((_x, value) => 1 + value * value),
    enclose: (_tape, i, a) => {
      if (meets(lowOf(a), highOf(a), Math.PI / 2, Math.PI)) {
        markUndefined(i, SOMEWHERE);
        putAny(i, -Infinity, Infinity);
      } else put(i, downFunction(Math.tan(lowOf(a))), upFunction(Math.tan(highOf(a))));
    },
    slopes: (_tape, i, a) => {
      wholePower(lowOf(i), highOf(i), 2);
      giveRange(a, i, down(1 + RANGE[0]), up(1 + RANGE[1]));
    },
  },
  [Op.Asin]: {
    operands: 1,
    name: 'asin',
    domain: () => [-1, 1],
    value: Math.asin,
    growth: along(x => 1 / Math.sqrt(1 - x * x)),
    enclose: (_tape, i, a) => {
      markOutsideUnit(i, a);
      put(i, downFunction(Math.asin(unit(lowOf(a)))), upFunction(Math.asin(unit(highOf(a)))));
    },
    slopes: (_tape, i, a) => {
      slopeOfArc(a);
      give(a, i);
    },
  },
  [Op.Acos]: {
    operands: 1,
    name: 'acos',
    domain: () => [-1, 1],
    value: Math.acos,
    growth: along(x => -1 / Math.sqrt(1 - x * x)),
    enclose: (_tape, i, a) => {
      markOutsideUnit(i, a);
      put(i, downFunction(Math.acos(unit(highOf(a)))), upFunction(Math.acos(unit(lowOf(a)))));
    },
    slopes: (_tape, i, a) => {
      slopeOfArc(a);
      giveRange(a, i, -RANGE[1], -RANGE[0]);
    },
  },
  [Op.Atan]: {
    operands: 1,
    value: Math.atan,
    growth: along(x => 1 / (1 + x * x)),
    enclose: rising(Math.atan),
    slopes: (_tape, i, a) => {
      wholePower(lowOf(a), highOf(a), 2);
      over(1, 1, down(1 + RANGE[0]), up(1 + RANGE[1]));
      give(a, i);
    },
  },
  [Op.Atan2]: {
    operands: 2,
    // −0 would be the other side of the cut.
    value: (x, y) => Math.atan2(x + 0, y),
    growth: (x, y, _z, _v, dx, dy) => (dx * y - dy * x) / (x * x + y * y),
    enclose: (_tape, i, a, b) => encloseAngle(i, a, b),
    slopes: slopesOfAngle,
  },
  [Op.Floor]: stepped(Math.floor),
  [Op.Ceil]: stepped(Math.ceil),
  [Op.Round]: stepped(Math.round),
  [Op.Sign]: stepped(Math.sign),
  [Op.Remainder]: {
    operands: 2,
    name: 'mod',
    domain: notZero,
    meetsPole: crossesZero,
    isDefinedBySecond: true,
    value: (x, y) => (y === 0 ? NaN : x - y * Math.floor(x / y)),
    growth: unknownGrowth,
    enclose: (_tape, i, a, b) => encloseRemainder(i, a, b),
    slopes: slopesOfRemainder,
  },

  // ---- Conditions ---------------------------------------------------------------------------------------------------
  [Op.LessEqual]: {
    operands: 2,
    isTruth: true,
    value: (x, y) => (x !== x || y !== y ? NaN : x <= y || nearlyEqual(x, y) ? 1 : 0),
    growth: unknownGrowth,
    provenAs: Op.AtMost,
  },
  [Op.Less]: {
    operands: 2,
    isTruth: true,
    value: (x, y) => (x !== x || y !== y ? NaN : x < y && !nearlyEqual(x, y) ? 1 : 0),
    growth: unknownGrowth,
    provenAs: Op.Below,
  },
  [Op.Equal]: {
    operands: 2,
    isTruth: true,
    value: (x, y) => (x !== x || y !== y ? NaN : x === y || nearlyEqual(x, y) ? 1 : 0),
    growth: unknownGrowth,
    provenAs: Op.Same,
  },
  [Op.And]: {
    operands: 2,
    isTruth: true,
    value: (x, y) => (x === 0 || y === 0 ? 0 : x !== x || y !== y ? NaN : 1),
    growth: unknownGrowth,
    provenAs: Op.Minimum,
  },
  [Op.Or]: {
    operands: 2,
    isTruth: true,
    value: (x, y) => (x === 1 || y === 1 ? 1 : x !== x || y !== y ? NaN : 0),
    growth: unknownGrowth,
    provenAs: Op.Maximum,
  },
  [Op.Not]: {
    operands: 1,
    isTruth: true,
    value: x => (x !== x ? NaN : x === 0 ? 1 : 0),
    growth: unknownGrowth,
    provenAs: Op.Negate,
  },
  [Op.Select]: {
    operands: 3,
    value: (x, y, z) => (x !== x ? NaN : x !== 0 ? y : z),
    growth: (x, _y, _z, _v, _dx, dy, dz) => (x !== 0 ? dy : dz),
    provenAs: Op.Choose,
  },
  [Op.AtMost]: {
    operands: 2,
    value: (x, y) => y - x + closeness(x, y),
    growth: unknownGrowth,
    enclose: (_tape, i, a, b) => encloseComparison(i, a, b, 1),
    slopes: slopesOfComparison,
  },
  [Op.Below]: {
    operands: 2,
    value: (x, y) => {
      const gap = y - x - closeness(x, y);
      return gap === 0 ? -Number.MIN_VALUE : gap;
    },
    growth: unknownGrowth,
    enclose: (_tape, i, a, b) => encloseComparison(i, a, b, -1),
    slopes: slopesOfComparison,
  },
  [Op.Same]: {
    operands: 2,
    value: (x, y) => closeness(x, y) - Math.abs(x - y),
    growth: unknownGrowth,
    enclose: (_tape, i, a, b) => {
      const apart = Math.max(0, lowOf(a) - highOf(b), lowOf(b) - highOf(a));
      const most = Math.max(highOf(a) - lowOf(b), highOf(b) - lowOf(a));
      const tolerance =
        COMPARISON_TOLERANCE *
        Math.max(Math.abs(lowOf(a)), Math.abs(highOf(a)), Math.abs(lowOf(b)), Math.abs(highOf(b)));
      const least = LOW[a] === HIGH[a] && LOW[b] === HIGH[b] ? tolerance * (1 - 1e-6) : 0;
      put(i, downFunction(least - most), upFunction(tolerance - apart));
    },
    slopes: (_tape, i, a, b) => {
      giveRange(a, i, -1 - COMPARISON_TOLERANCE, 1 + COMPARISON_TOLERANCE);
      giveRange(b, i, -1 - COMPARISON_TOLERANCE, 1 + COMPARISON_TOLERANCE);
    },
  },
  // if a then b else c = c + [a holds]·(b − c): linear in both; by the condition a jump with the sign of b − c.
  [Op.Choose]: {
    operands: 3,
    value: (x, y, z) => (x !== x ? NaN : x >= 0 ? y : z),
    growth: unknownGrowth,
    enclose: (_tape, i, a, b, c) => {
      if (lowOf(a) >= 0) {
        UNDEFINED[i] = UNDEFINED[a]! | UNDEFINED[b]!;
        putAny(i, lowOf(b), highOf(b));
      } else if (highOf(a) < 0) {
        UNDEFINED[i] = UNDEFINED[a]! | UNDEFINED[c]!;
        putAny(i, lowOf(c), highOf(c));
      } else {
        UNDEFINED[i] = (UNDEFINED[a]! | UNDEFINED[b]! | UNDEFINED[c]!) & SOMEWHERE;
        putAny(i, Math.min(lowOf(b), lowOf(c)), Math.max(highOf(b), highOf(c)));
      }
    },
    slopes: (_tape, i, a, b, c) => {
      if (lowOf(a) >= 0) return pass(b, i);
      if (highOf(a) < 0) return pass(c, i);
      shareBetween(i, b, c);
      giveRange(a, i, lowOf(b) - highOf(c) < 0 ? -Infinity : 0, highOf(b) - lowOf(c) > 0 ? Infinity : 0);
    },
  },
  [Op.Use]: {
    operands: 2,
    value: use,
    growth: unknownGrowth,
    enclose: (_tape, i, a, b) => encloseUse(i, a, b),
    slopes: slopesOfUse,
  },

  // ---- Tables and what is solved for --------------------------------------------------------------------------------
  [Op.Lookup]: {
    operands: 1,
    calculate: (at, i, x) => lookup(at.tableOf(i), x),
    name: 'a table',
    domain: (tape, i) => keyRange(tape.tableOf(i)),
    value: notANumber,
    growth: (x, _y, _z, _v, dx, _dy, _dz, table) => (dx === 0 ? 0 : dx * slope(table!, x)),
    point: (tape, i, a) => {
      VALUE[i] = lookup(tape.tableOf(i), VALUE[a]!);
    },
    enclose: (tape, i, a) => encloseTable(i, a, tape.tableOf(i)),
    slopes: (tape, i, a) => {
      if (LOW[a] === HIGH[a]) return;
      slopeOfTable(i, a, tape.tableOf(i));
      give(a, i);
    },
  },
  [Op.Lookup2]: {
    operands: 2,
    calculate: (at, i, x, y) => lookup2(at.tableOf(i), x, y),
    name: 'a table',
    domain: (tape, i, isFirst) => (isFirst ? keyRange(tape.tableOf(i)) : commonKeyRange(tape.tableOf(i))),
    value: notANumber,
    growth: unknownGrowth,
    point: (tape, i, a, b) => {
      VALUE[i] = lookup2(tape.tableOf(i), VALUE[a]!, VALUE[b]!);
    },
    enclose: (tape, i, a, b) => encloseTable2(i, a, b, tape.tableOf(i)),
    slopes: (tape, i, a, b) => {
      if (LOW[a] !== HIGH[a]) {
        slopeByFirst(i, a, b, tape.tableOf(i));
        give(a, i);
      }
      if (LOW[b] !== HIGH[b]) {
        slopeBySecond(i, a, b, tape.tableOf(i));
        give(b, i);
      }
    },
  },
  [Op.Reserve]: {
    operands: SOLVED,
    calculate: (at, i) => at.solve(i, reserve),
    name: 'reserve',
    value: notANumber,
    growth: unknownGrowth,
    point: pointReserve,
    enclose: encloseReserve,
    slopes: slopeOfReserve,
  },
  [Op.Root]: {
    operands: SOLVED,
    calculate: (at, i) => at.solve(i, root),
    failure: 'no-root',
    name: 'root',
    value: notANumber,
    growth: unknownGrowth,
    point: pointRoot,
    enclose: encloseRoot,
    slopes: slopeOfRoot,
  },
  [Op.Low]: {
    operands: 1,
    calculate: (at, i) => at.reading(i),
    name: 'low',
    value: notANumber,
    growth: unknownGrowth,
    point: (tape, i) => pointExtreme(tape, i, 1),
    enclose: (tape, i) => encloseExtreme(tape, i, 1),
    slopes: slopeOfExtreme,
  },
  [Op.High]: {
    operands: 1,
    calculate: (at, i) => at.reading(i),
    name: 'high',
    value: notANumber,
    growth: unknownGrowth,
    point: (tape, i) => pointExtreme(tape, i, -1),
    enclose: (tape, i) => encloseExtreme(tape, i, -1),
    slopes: slopeOfExtreme,
  },
  [Op.RssLow]: {
    operands: 1,
    calculate: (at, i) => at.reading(i),
    failure: 'distribution-missing',
    name: 'rss_low',
    value: notANumber,
    growth: unknownGrowth,
    ...opaque,
  },
  [Op.RssHigh]: {
    operands: 1,
    calculate: (at, i) => at.reading(i),
    failure: 'distribution-missing',
    name: 'rss_high',
    value: notANumber,
    growth: unknownGrowth,
    ...opaque,
  },
};

/** One operation on numbers. */
export function apply(op: Op, x: number, y: number, z: number): number {
  return OPERATIONS[op].value(x, y, z);
}

/** How many operands each operation has. */
export const OPERANDS = Uint8Array.from(
  Object.keys(OPERATIONS)
    .map(Number)
    .sort((x, y) => x - y)
    .map(op => OPERATIONS[op as Op].operands),
);

/** How the proof reads an operation. */
export function provenAs(op: Op): Op {
  const row = OPERATIONS[op];
  return 'provenAs' in row ? row.provenAs : op;
}

// ---- The three walks over a list of entries -------------------------------------------------------------------------

const PROVEN: readonly ProvenRow[] = Object.keys(OPERATIONS)
  .map(Number)
  .sort((x, y) => x - y)
  .map(op => OPERATIONS[provenAs(op) as Op] as ProvenRow);
const ENCLOSE = PROVEN.map(row => row.enclose);
const SLOPES = PROVEN.map(row => row.slopes);
const POINT = PROVEN.map(
  (row): Step =>
    row.point ??
    ((_tape, i, a, b, c) => {
      VALUE[i] = row.value(VALUE[a]!, VALUE[b]!, VALUE[c]!);
    }),
);

/** The operations of a tape, entry by entry. */
export interface Code extends Walks {
  readonly op: Uint8Array;
  readonly c: Int32Array;
  /** Ranges that were proven of entries over all that varies: they hold in every box. */
  readonly proven: ReadonlyMap<number, readonly [number, number]> | null;
}

export function runPoint(code: Code, entries: Int32Array): void {
  const { op, a, b, c } = code;
  for (let n = 0; n < entries.length; n++) {
    const i = entries[n]!;
    POINT[op[i]!]!(code, i, a[i]!, b[i]!, c[i]!);
  }
}

export function runEnclosure(code: Code, entries: Int32Array): void {
  const { op, a, b, c, proven } = code;
  for (let n = 0; n < entries.length; n++) {
    const i = entries[n]!;
    const x = a[i]!;
    const y = b[i]!;
    const z = c[i]!;
    UNDEFINED[i] = UNDEFINED[x]! | UNDEFINED[y]! | UNDEFINED[z]!;
    ENCLOSE[op[i]!]!(code, i, x, y, z);
    if (proven !== null) cutToProven(proven, i);
  }
}

function cutToProven(proven: ReadonlyMap<number, readonly [number, number]>, i: number): void {
  const range = proven.get(i);
  if (range === undefined) return;
  LOW[i] = Math.max(lowOf(i), range[0]);
  HIGH[i] = Math.min(highOf(i), range[1]);
  if (lowOf(i) > highOf(i)) LOW[i] = highOf(i);
}

/** Slopes of `root` by every entry of the list and by every leaf. */
export function runSlopes(code: Code, entries: Int32Array, leaves: readonly number[], root: number): void {
  const { op, a, b, c } = code;
  for (let n = 0; n < entries.length; n++) {
    const i = entries[n]!;
    SLOPE_LOW[i] = 0;
    SLOPE_HIGH[i] = 0;
  }
  for (let n = 0; n < leaves.length; n++) {
    SLOPE_LOW[leaves[n]!] = 0;
    SLOPE_HIGH[leaves[n]!] = 0;
  }
  SLOPE_LOW[root] = SLOPE_HIGH[root] = 1;
  for (let n = entries.length - 1; n >= 0; n--) {
    const i = entries[n]!;
    if (SLOPE_LOW[i] !== 0 || SLOPE_HIGH[i] !== 0) SLOPES[op[i]!]!(code, i, a[i]!, b[i]!, c[i]!);
  }
}
