/** Proofs: a bound that nothing goes below over everything that varies, and the point where that is attained. */
import { power } from '../operations/power.js';
import { COMPARISON_TOLERANCE, type Op } from '../operations/op.js';
import {
  blame,
  HIGH,
  highOf,
  LOW,
  lowOf,
  SLOPE_HIGH,
  SLOPE_LOW,
  SOMEWHERE,
  UNDEFINED,
} from '../operations/enclosures.js';
import type { Shares } from '../values/arena.js';
import { OPERATIONS } from '../operations/operations.js';
import { solve, UndefinedAt, Work, type Goal, type Obstacle, type Point } from './search.js';
import { UNKNOWN_KEY, type Tape } from './tape.js';

export { Work, type Goal };

export interface Proof {
  /** `proven`: the bracket is good enough. `undefined`: without a value at `at`. `open`: the work did not suffice. */
  readonly state: 'proven' | 'open' | 'undefined';
  /** Nothing lies below. */
  readonly low: number;
  /** Attained at `at`. */
  readonly high: number;
  readonly at: Shares;
  /** Entry of the arena, and names of sources, that stood in the way. */
  readonly obstacle: { readonly entry: number | null; readonly sources: readonly string[] } | null;
}

/** Accuracy of what is told, at the least: half a percent, or 0.005 of a margin. */
const COARSE = 0.005;
/** What is tried first: most worst cases lie at ends, where the bound is exact. */
const FINE = 1e-6;
const BOXES_FOR_FINE = 100;
/** Margins beyond this are told as they were found. */
const FAR = 1_000;

/** Accuracy that is still worth the work: the more was spent, the less is asked. */
function accuracy(work: Work): number {
  return work.boxes <= BOXES_FOR_FINE ? FINE : Math.min(COARSE, FINE * power(work.boxes / BOXES_FOR_FINE, 2));
}

/** The root is applied / allowable, at its highest; the margin is 1 / use − 1. */
export const marginOfUse = (high: number): number => (high <= 0 ? Infinity : 1 / high - 1);

export function ratioGoal(work: Work): Goal {
  return {
    enough: (low, high) => {
      const least = marginOfUse(-low);
      const most = marginOfUse(-high);
      if (least >= FAR) return true;
      if (!(least >= 0 || most < 0 || least > -COMPARISON_TOLERANCE)) return false;
      return most - least <= accuracy(work) * Math.max(1, Math.abs(least));
    },
  };
}

/**
 * A distance is accurate by the way from nominal to worst, or by the margin itself, never by a fixed number: 0.005 m of
 * a
 * fit of 0.3 mm says nothing.
 */
export function distanceGoal(work: Work, nominal: number, size: number): Goal {
  return {
    enough: (low, high) =>
      (low >= 0 || high < 0 || low > -COMPARISON_TOLERANCE * size) &&
      high < Infinity &&
      high - low <= accuracy(work) * Math.max(Math.abs(high), Math.abs(nominal - high), COMPARISON_TOLERANCE * size),
  };
}

/** Only whether it holds everywhere. */
export const TRUTH: Goal = { enough: (low, high) => low >= 0 || high < 0 };

/** A value that is shown, as close as is worth the work: to 1e-9 of it, or of what it varies by. */
export function valueGoal(tape: Tape): Goal {
  tape.load();
  tape.enclose(tape.main);
  const width = highOf(tape.roots[0]!) - lowOf(tape.roots[0]!);
  const size = Number.isFinite(width) ? width : 0;
  return {
    enough: (low, high) => high < Infinity && high - low <= 1e-9 * Math.max(Math.abs(low), Math.abs(high), size),
  };
}

/** Lowest sign · root over all that varies. Throws `Abandoned`. */
export function prove(tape: Tape, sign: 1 | -1, goal: Goal, work: Work): Proof {
  const root = tape.roots[0]!;
  tape.proven = null;
  const sources = tape.freeSources();
  try {
    load(tape);
    work.box();
    if (UNDEFINED[root] === SOMEWHERE) proveDefined(tape, sources, work);
    let answer = solve({ tape, root, sign, goal, work }, sources, tape.all, true);
    // What was put together from parts is run once through the plain numbers.
    let high = sign * tape.valueAt(answer.at);
    if (!(high <= answer.high) && !goal.enough(answer.low, high)) {
      load(tape);
      answer = solve({ tape, root, sign, goal, work, withoutModules: true }, sources, tape.all, true);
      high = sign * tape.valueAt(answer.at);
    }
    if (high !== high) throw new UndefinedAt(0, answer.at);
    const at = sharesOf(tape, answer.at);
    const low = Math.min(answer.low, high);
    const enough = goal.enough(low, high);
    return { state: enough ? 'proven' : 'open', low, high, at, obstacle: obstacleOf(tape, answer.why) };
  } catch (error) {
    return undefinedProof(tape, error);
  }
}

function load(tape: Tape): void {
  tape.load();
  blame.entry = 0;
  tape.enclose(tape.main);
}

function undefinedProof(tape: Tape, error: unknown): Proof {
  if (!(error instanceof UndefinedAt)) throw error;
  return {
    state: 'undefined',
    low: NaN,
    high: NaN,
    at: sharesOf(tape, error.at),
    obstacle: obstacleOf(tape, { entry: error.entry, sources: [] }),
  };
}

function obstacleOf(tape: Tape, why: Obstacle | null): Proof['obstacle'] {
  if (!why) return null;
  return {
    entry: why.entry === null ? null : (tape.origins.get(why.entry) ?? null),
    sources: why.sources.flatMap(entry => tape.nameOf(entry) ?? []),
  };
}

function sharesOf(tape: Tape, at: Point): Map<string, number> {
  const shares = new Map<string, number>();
  for (const [entry, x] of at) {
    const source = tape.source(entry);
    if (!source || source.key === UNKNOWN_KEY) continue;
    shares.set(source.key, source.bounds ? shareOf(x, source.low, source.nominal, source.high) : x);
  }
  return shares;
}

function shareOf(x: number, low: number, nominal: number, high: number): number {
  if (x === nominal) return 0;
  return x > nominal ? (x - nominal) / (high - nominal) : (x - nominal) / (nominal - low);
}

// ---- Definedness ----------------------------------------------------------------------------------------------------

/** Most operations whose operands are proven to stay in their domain. */
const MOST_LEMMAS = 12;

/**
 * That it is defined is a proof of its own: where an operation may leave its domain by its enclosure, the range of its
 * operand is proven once, and cuts the enclosure of that operand in every box. A point outside has no value.
 */
function proveDefined(tape: Tape, sources: readonly number[], work: Work): void {
  const root = tape.roots[0]!;
  const tried = new Set<number>();
  for (let n = 0; n < MOST_LEMMAS && UNDEFINED[root] === SOMEWHERE; n++) {
    const culprit = blame.entry;
    const known = tape.proven?.size ?? 0;
    for (const operand of [tape.a[culprit]!, tape.b[culprit]!]) {
      const domain = OPERATIONS[tape.op[culprit] as Op].domain?.(tape, culprit, operand === tape.a[culprit]) ?? null;
      if (!domain || (lowOf(operand) >= domain[0] && highOf(operand) <= domain[1]) || tried.has(operand)) continue;
      tried.add(operand);
      const range = proveRange(tape, culprit, operand, domain, sources, work);
      if (range) (tape.proven ??= new Map()).set(operand, range);
    }
    load(tape);
    work.box();
    if (blame.entry === culprit && (tape.proven?.size ?? 0) === known) break;
  }
}

function proveRange(
  tape: Tape,
  culprit: number,
  operand: number,
  [least, most]: readonly [number, number],
  sources: readonly number[],
  work: Work,
): readonly [number, number] | null {
  const side = (sign: 1 | -1): number | null => {
    load(tape);
    if (UNDEFINED[operand] !== 0) return null;
    const width = highOf(operand) - lowOf(operand);
    const edge = sign > 0 ? least : -most;
    const goal: Goal = {
      width: 1e-3 * width,
      enough: (low, high) => low >= edge || high < edge || (edge !== edge && low > 0) || high - low <= 1e-3 * width,
    };
    const part = work.part(300);
    const varying = sources.filter(s => lowOf(s) < highOf(s));
    const answer = solve({ tape, root: operand, sign, goal, work: part }, varying, tape.live(sources, operand));
    work.boxes += part.boxes;
    const value = tape.valueAt(answer.at);
    if (value !== value) throw new UndefinedAt(culprit, answer.at);
    return answer.low;
  };
  const low = side(1);
  const high = low === null ? null : side(-1);
  return low === null || high === null ? null : [low, -high];
}

// ---- Reserves -------------------------------------------------------------------------------------------------------

/**
 * A reserve that is asked for at the top. That it is at least K everywhere is one proof that the condition holds over k
 * in
 * [0, K] and all that varies: k is a source like the others, and no enclosure of a reserve is made. K comes from
 * points;
 * each failure that is found lowers it. The bracket is that of use: required / reserve, negative.
 *
 * `outer`: the reserve as a value; `inner`: its condition, with the factor as a source.
 */
export function proveReserve(outer: Tape, inner: Tape, required: number, work: Work): Proof {
  const search = new ReserveSearch(outer, inner, required, work);
  try {
    return search.run();
  } catch (error) {
    return undefinedProof(inner, error);
  }
}

/** How often K is lowered before the search is given up. */
const MOST_TRIES = 40;

class ReserveSearch {
  private readonly root: number;
  private readonly factor: number;
  private readonly others: readonly number[];
  private readonly outerOf: ReadonlyMap<string, number>;

  constructor(
    private readonly outer: Tape,
    private readonly inner: Tape,
    private readonly required: number,
    private readonly work: Work,
  ) {
    this.root = inner.roots[0]!;
    this.factor = inner.sources.find(source => source.key === UNKNOWN_KEY)!.entry;
    this.others = inner.freeSources().filter(entry => entry !== this.factor);
    this.outerOf = new Map(outer.sources.map(source => [source.key, source.entry]));
  }

  run(): Proof {
    const { inner, root, work, required, factor } = this;
    const far = required * (FAR + 1);
    let shares: Point = new Map();
    let most = this.reserveAt(shares);
    if (most !== most) throw new UndefinedAt(0, new Map());
    let guessed = false;
    for (let n = 0; n < MOST_TRIES; n++) {
      if (most <= 0) return this.result(0, 0, true, shares, null);
      let target = this.targetFor(most, far);
      if (target <= 0) return this.result(0, most, true, shares, null);
      this.load(target);
      if (UNDEFINED[root] === 0) {
        inner.slopes(inner.all, inner.freeSources(), root);
        if (!guessed) {
          // The ends that slopes point to are a good guess at the worst point.
          guessed = true;
          const guess = this.worseEnds(shares);
          const there = this.reserveAt(guess);
          if (there < most) {
            [most, shares, guessed] = [there, guess, false];
            continue;
          }
          this.load(target);
          inner.slopes(inner.all, inner.freeSources(), root);
        }
        // Where every slope has a sign there is nothing to search: the bound comes as close as rounding lets it.
        if (most < far && inner.freeSources().every(i => SLOPE_LOW[i]! >= 0 || SLOPE_HIGH[i]! <= 0)) {
          target = most * (1 - 1e-9);
          this.load(target);
        }
      }
      const goal: Goal = { enough: (low, high) => low >= 0 || (high < 0 && high - low <= 0.2 * Math.abs(high)) };
      const answer = solve({ tape: inner, root, sign: 1, goal, work }, inner.freeSources(), inner.all, true);
      if (answer.low >= 0) {
        const close = most >= far || this.isClose(target, most);
        return this.result(target, most >= far && most > 1e12 ? Infinity : most, close, shares, null);
      }
      if (!(answer.high < 0)) return this.result(0, most, false, shares, answer.why);
      const there = new Map(this.others.map(i => [i, answer.at.get(i) ?? inner.source(i)!.nominal]));
      const here = this.reserveAt(there);
      most = Math.min(here, answer.at.get(factor) ?? Infinity, most);
      shares = there;
    }
    return this.result(0, most, false, shares, { entry: null, sources: this.others });
  }

  private isClose(low: number, high: number): boolean {
    const { required } = this;
    return ratioGoal(this.work).enough(-required / low, -required / high);
  }

  private targetFor(most: number, far: number): number {
    const { required } = this;
    const step = 0.8 * accuracy(this.work) * Math.max(1, Math.abs(most / required - 1)) * required;
    return Math.min(most >= required ? Math.max(most - step, required) : most - step, far);
  }

  private load(target: number): void {
    const { inner, factor, work } = this;
    inner.load();
    LOW[factor] = 0;
    HIGH[factor] = target;
    blame.entry = 0;
    inner.enclose(inner.main);
    work.box();
  }

  private worseEnds(before: Point): Point {
    return new Map(
      this.others.map(i => [
        i,
        SLOPE_LOW[i]! >= 0
          ? lowOf(i)
          : SLOPE_HIGH[i]! <= 0
            ? highOf(i)
            : (before.get(i) ?? this.inner.source(i)!.nominal),
      ]),
    );
  }

  /** The reserve at a point of the condition's sources. */
  private reserveAt(point: Point): number {
    const at = new Map<number, number>();
    for (const [entry, x] of point) {
      const outer = this.outerOf.get(this.inner.source(entry)!.key);
      if (outer !== undefined) at.set(outer, x);
    }
    return this.outer.valueAt(at);
  }

  private result(low: number, high: number, proven: boolean, at: Point, why: Obstacle | null): Proof {
    const { required } = this;
    return {
      state: proven ? 'proven' : 'open',
      low: high === Infinity && proven ? 0 : -required / low,
      high: -required / high,
      at: sharesOf(this.inner, at),
      obstacle: obstacleOf(this.inner, why),
    };
  }
}
