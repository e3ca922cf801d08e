/**
 * Worst cases over everything that varies: bounds of values and of comparisons with the point where they are attained,
 * and statistical readings.
 */
import { power } from '../operations/power.js';
import { detailAs, type Arena, type Readings, type Shares } from '../values/arena.js';
import { Op, VARIES_WITH_TOLERANCES } from '../operations/op.js';
import { SLOPE_HIGH, SLOPE_LOW, UNDEFINED } from '../operations/enclosures.js';
import { OPERATIONS } from '../operations/operations.js';
import {
  distanceGoal,
  prove,
  proveReserve,
  ratioGoal,
  TRUTH,
  valueGoal,
  Work,
  type Goal,
  type Proof,
} from './prove.js';
import { Abandoned } from './search.js';
import { isTruth, Tape, TapeTooLarge, type TapeMaker } from './tape.js';

/** Entries that carry what varies to a result, in order of calculation. */
export type VaryingEntries = readonly number[];

/** As a ratio it is ranked by the use of the allowable, applied / allowable; as a distance by their difference. */
export interface Comparison {
  readonly kind: 'ratio' | 'distance';
  readonly applied: number;
  readonly allowable: number;
  readonly strict: boolean;
}

/** What is proven of a condition: how it is ranked, and its sides. */
export type Claim =
  | Comparison
  | { readonly kind: 'same'; readonly x: number; readonly y: number; readonly negated: boolean }
  | { readonly kind: 'truth'; readonly node: number }
  /** The best of several counts. */
  | { readonly kind: 'or' | 'and'; readonly parts: readonly Claim[] };

/** Boxes that the proof of one row may take. */
export const BOXES_FOR_A_ROW = 2_000;
const BOXES_FOR_A_VALUE = 600;

export class WorstCases implements Readings {
  /** Asked now and then during a proof: whether a newer text has made it pointless. */
  isPointless: (() => boolean) | null = null;

  constructor(
    private readonly arena: Arena,
    private readonly onDefect: (error: unknown) => void,
  ) {}

  /** Entries below some roots that vary. */
  varying(roots: readonly number[]): VaryingEntries {
    const { arena } = this;
    const varies = (entry: number): boolean => arena.tolerant[entry] !== 0;
    return arena.orderBelow(roots.filter(varies), (entry, list) => {
      for (const operand of arena.operands(entry)) if (varies(operand)) list.push(operand);
    });
  }

  /** Calls `read` with what varies calculated at the given places, then puts everything back. */
  at<T>(entries: VaryingEntries, shares: Shares, read: () => T): T {
    return this.arena.standingAt(entries, shares, read);
  }

  /** The worst of a claim, over everything that varies; null where it is too large to look at. */
  worst(claim: Claim, nominal: number, size: number, work: Work): Proof | null {
    try {
      const reserve = this.reserveAsked(claim);
      if (reserve) return this.worstReserve(reserve.reserve, reserve.required, work);
      const { sign, finish, goal } = this.form(claim, nominal, size, work);
      return prove(
        Tape.of(this.arena, maker => [finish(maker)]),
        sign,
        goal,
        work,
      );
    } catch (error) {
      if (error instanceof TapeTooLarge) return null;
      throw error;
    }
  }

  newWork(budget: number): Work {
    return new Work(budget, this.isPointless);
  }

  /** Whether a number, or a condition, is the same over everything that varies. */
  isSteady(node: number): boolean {
    const { arena } = this;
    if (arena.tolerant[node] === 0) return true;
    if (!isTruth(arena, node)) {
      const [low, high] = [this.extreme(node, 1), this.extreme(node, -1)];
      return Math.abs(high - low) <= 1e-12 * Math.max(Math.abs(low), Math.abs(high));
    }
    const holds = arena.values[node] === 1;
    const finish = (maker: TapeMaker): number => (holds ? maker.truth(node) : maker.add(Op.Negate, maker.truth(node)));
    return this.guarded(false, () => {
      const tape = Tape.of(arena, maker => [finish(maker)]);
      const proof = prove(tape, 1, TRUTH, this.newWork(BOXES_FOR_A_VALUE));
      return proof.state === 'proven' && proof.low >= 0;
    });
  }

  private form(
    claim: Claim,
    nominal: number,
    size: number,
    work: Work,
  ): { sign: 1 | -1; finish: (maker: TapeMaker) => number; goal: Goal } {
    const kind = kindOf(claim);
    if (kind === 'ratio') return { sign: -1, finish: maker => putRatio(maker, claim), goal: ratioGoal(work) };
    if (kind === 'distance')
      return { sign: 1, finish: maker => putDistance(maker, claim), goal: distanceGoal(work, nominal, size) };
    return { sign: 1, finish: maker => putTruth(maker, claim), goal: TRUTH };
  }

  /** A reserve that is asked to be at least a number that doesn't vary. */
  private reserveAsked(claim: Claim): { reserve: number; required: number } | null {
    if (claim.kind !== 'ratio') return null;
    const { arena } = this;
    const required = arena.values[claim.applied]!;
    if (arena.tolerant[claim.applied] !== 0 || !(required > 0)) return null;
    let at = claim.allowable;
    while (arena.op[at] === Op.Slot && arena.a[at]) at = arena.a[at]!;
    return arena.op[at] === Op.Reserve ? { reserve: at, required } : null;
  }

  private worstReserve(reserve: number, required: number, work: Work): Proof {
    const { arena } = this;
    const detail = detailAs(arena.details.get(reserve), 'unknown');
    const outer = Tape.of(arena, maker => [maker.number(reserve)]);
    const inner = Tape.of(arena, maker => [maker.number(detail.result)], detail);
    return proveReserve(outer, inner, required, work);
  }

  // ---- Readings -----------------------------------------------------------------------------------------------------

  /** The bound of the lowest (`sign` 1) or highest (−1) value of an entry; NaN where there is none. */
  extreme(node: number, sign: 1 | -1): number {
    return this.extremeOf(maker => maker.number(node), sign);
  }

  private extremeOf(root: (maker: TapeMaker) => number, sign: 1 | -1): number {
    return this.guarded(NaN, () => {
      const tape = Tape.of(this.arena, maker => [root(maker)]);
      const proof = prove(tape, sign, valueGoal(tape), this.newWork(BOXES_FOR_A_VALUE));
      const close = proof.high - proof.low <= 0.005 * Math.max(Math.abs(proof.low), Math.abs(proof.high));
      return proof.state === 'proven' || close ? sign * proof.low : NaN;
    });
  }

  /** What a proof comes to; `otherwise` where it is too large, or where we fail on it. */
  private guarded<T>(otherwise: T, work: () => T): T {
    try {
      return work();
    } catch (error) {
      if (error instanceof Abandoned) throw error;
      if (!(error instanceof TapeTooLarge)) this.onDefect(error);
      return otherwise;
    }
  }

  /** Value of an entry that reads what lies below it: a worst or statistical value, the extreme of a sweep. */
  reading(entry: number): number {
    const { arena } = this;
    const op = arena.opAt(entry);
    const node = arena.a[entry]!;
    const count = arena.values[arena.b[entry]!]!;
    if (op === Op.RssLow || op === Op.RssHigh) return this.statistical(node, op === Op.RssLow ? -count : count);
    if (arena.tolerant[entry] === 0) return this.extreme(node, op === Op.Low ? 1 : -1);
    // What else varies stays where it is.
    const tape = Tape.of(arena, maker => [maker.number(entry)]);
    const at = new Map<number, number>();
    tape.load();
    for (const source of tape.sources) {
      const share = arena.shareOf(source.key);
      if (share !== undefined) at.set(source.entry, placeOf(source, share));
    }
    return tape.valueAt(at);
  }

  /** Mean plus `n` standard deviations, from the slopes at the mean. NaN where a source states no distribution. */
  private statistical(node: number, n: number): number {
    const { arena } = this;
    const tape = Tape.of(arena, maker => [maker.number(node)]);
    const root = tape.roots[0]!;
    tape.load();
    const middle = new Map(tape.sources.map(source => [source.entry, (source.low + source.high) / 2]));
    const mean = tape.valueAt(middle);
    tape.pin(middle);
    tape.enclose(tape.main);
    if (UNDEFINED[root] !== 0) return NaN;
    tape.slopes(
      tape.main,
      tape.sources.map(source => source.entry),
      root,
    );
    let variance = 0;
    for (const { entry, origin, low, high } of tape.sources) {
      const detail = detailAs(arena.details.get(origin), 'source');
      if (low === high) continue;
      if (detail.distribution === null) return NaN;
      const half = (high - low) / 2;
      const deviation = detail.distribution === 'uniform' ? half / Math.sqrt(3) : half / (detail.sigmas ?? 3);
      variance += power(((SLOPE_LOW[entry]! + SLOPE_HIGH[entry]!) / 2) * deviation, 2);
    }
    return mean + n * Math.sqrt(variance);
  }

  operationName(entry: number): string {
    return OPERATIONS[this.arena.opAt(entry)].name ?? '';
  }

  /** Whether tolerances reach an entry. */
  isTolerant(node: number): boolean {
    return (this.arena.tolerant[node]! & VARIES_WITH_TOLERANCES) !== 0;
  }
}

function placeOf(source: { low: number; high: number; nominal: number; bounds: unknown }, share: number): number {
  if (!source.bounds) return share;
  if (share === 0) return source.nominal;
  return share > 0
    ? source.nominal + share * (source.high - source.nominal)
    : source.nominal + share * (source.nominal - source.low);
}

/** Kinds are never ranked against each other: parts of different kinds are only told to hold or not. */
export function kindOf(claim: Claim): 'ratio' | 'distance' | 'truth' {
  if (claim.kind === 'same') return 'truth';
  if (claim.kind !== 'or' && claim.kind !== 'and') return claim.kind;
  const kinds = new Set(claim.parts.map(kindOf));
  return kinds.size === 1 ? [...kinds][0]! : 'truth';
}

function putRatio(maker: TapeMaker, claim: Claim): number {
  if (claim.kind === 'ratio') return maker.add(Op.Use, maker.number(claim.applied), maker.number(claim.allowable));
  return combined(maker, claim, putRatio, Op.Minimum, Op.Maximum);
}

function putDistance(maker: TapeMaker, claim: Claim): number {
  if (claim.kind === 'distance')
    return maker.add(Op.Subtract, maker.number(claim.allowable), maker.number(claim.applied));
  return combined(maker, claim, putDistance, Op.Maximum, Op.Minimum);
}

function putTruth(maker: TapeMaker, claim: Claim): number {
  switch (claim.kind) {
    case 'truth':
      return maker.truth(claim.node);
    case 'same': {
      const same = maker.add(Op.Same, maker.number(claim.x), maker.number(claim.y));
      return claim.negated ? maker.add(Op.Negate, same) : same;
    }
    case 'or':
    case 'and':
      return combined(maker, claim, putTruth, Op.Maximum, Op.Minimum);
    default:
      return maker.add(claim.strict ? Op.Below : Op.AtMost, maker.number(claim.applied), maker.number(claim.allowable));
  }
}

function combined(
  maker: TapeMaker,
  claim: Claim,
  put: (maker: TapeMaker, claim: Claim) => number,
  or: Op,
  and: Op,
): number {
  const { kind, parts } = claim as Claim & { kind: 'or' | 'and' };
  return parts.map(part => put(maker, part)).reduce((x, y) => maker.add(kind === 'or' ? or : and, x, y));
}
