/** What tolerances do to a result: lowest and highest values, worst cases of a comparison, statistical readings. */
import type { Arena, Detail, Readings } from './arena.js';
import { boundsOf, divide, slopesOf, subtract, type Interval } from './interval.js';
import { Op } from './operations.js';

/** Entries that carry a toleranced value to a result, in order of calculation, with the sources they start from. */
export interface TolerancePath {
  readonly order: readonly number[];
  readonly sources: readonly ToleranceSource[];
}

/** One source of variation; several entries share it where the same literal was elaborated more than once. */
export interface ToleranceSource {
  readonly key: string;
  readonly nodes: readonly number[];
  readonly distribution: 'normal' | 'uniform' | null;
  readonly sigmas: number | null;
}

/** How a worst case was found: at the ends that slopes point to, or by trying combinations of ends. */
export type Reading = 'worst case' | 'worst case by corners';

export interface Worst<T> {
  readonly outcome: T;
  readonly reading: Reading;
  /** False where trying corners could not be shown to have met the worst. */
  readonly bounded: boolean;
  readonly shifts: ReadonlyMap<number, number>;
}

const MOST_UNDECIDED = 10;
const MOST_BOXES = 2_000;

export class ToleranceReadings implements Readings {
  constructor(private readonly arena: Arena) {}

  /** The toleranced entries that `roots` depend on. */
  path(roots: readonly number[]): TolerancePath {
    const { arena } = this;
    const isTolerant = (entry: number): boolean => arena.tolerant[entry] === 1;
    const order = arena.orderBelow(roots.filter(isTolerant), (entry, list) => {
      for (const operand of arena.op[entry] === Op.Tolerance ? [arena.a[entry]!] : arena.operands(entry))
        if (isTolerant(operand)) list.push(operand);
    });
    const sources = new Map<
      string,
      { key: string; nodes: number[]; distribution: 'normal' | 'uniform' | null; sigmas: number | null }
    >();
    for (const i of order) {
      if (arena.op[i] !== Op.Tolerance) continue;
      const detail = arena.details.get(i) as Detail & { kind: 'source' };
      const known = sources.get(detail.key);
      if (known) known.nodes.push(i);
      else
        sources.set(detail.key, {
          key: detail.key,
          nodes: [i],
          distribution: detail.distribution,
          sigmas: detail.sigmas,
        });
    }
    return { order, sources: [...sources.values()].filter(source => this.low(source) < 0 || this.high(source) > 0) };
  }

  private low(source: ToleranceSource): number {
    const i = source.nodes[0]!;
    return this.arena.values[this.arena.b[i]!]! - this.arena.values[this.arena.a[i]!]!;
  }

  private high(source: ToleranceSource): number {
    const i = source.nodes[0]!;
    return this.arena.values[this.arena.c[i]!]! - this.arena.values[this.arena.a[i]!]!;
  }

  /** Calls `read` with the toleranced entries calculated for the given shifts, then puts everything back. */
  at<T>(path: TolerancePath, shifts: ReadonlyMap<number, number>, read: () => T): T {
    const { arena } = this;
    const { values } = arena;
    const { order } = path;
    const before = order.map(i => values[i]!);
    arena.shifts = shifts as Map<number, number>;
    for (const i of order) {
      if (arena.op[i] === Op.Slot) values[i] = values[arena.a[i]!]!;
      else arena.step(i);
    }
    arena.shifts = null;
    const result = read();
    for (let k = 0; k < order.length; k++) values[order[k]!] = before[k]!;
    return result;
  }

  /**
   * The worst outcome of a comparison whose applied side is `applied` and whose other side is `allowable`: the smaller
   * the ratio (or, as a
   * distance, the difference) the worse. `measure` reads the outcome from the arena, `rank` orders outcomes.
   */
  worst<T>(
    applied: number,
    allowable: number,
    distance: boolean,
    measure: () => T,
    rank: (outcome: T) => number,
  ): Worst<T> {
    const path = this.path([applied, allowable]);
    const solved = this.arena.tolerant[applied] === 1 ? null : this.reserveBehind(allowable);
    const slopes = solved === null ? this.slopes(path, [applied, allowable]) : null;
    const signs =
      solved === null
        ? path.sources.map(source => (slopes ? comparisonSign(slopes, source, distance) : null))
        : this.reserveSigns(path, solved);
    return this.search(path, signs, measure, rank, box => {
      const bounds = boundsOf(this.arena, path.order, box);
      if (!bounds) return -Infinity;
      const side = (node: number): Interval =>
        bounds.get(node) ?? { low: this.arena.values[node]!, high: this.arena.values[node]! };
      return subtract(side(allowable), side(applied)).low;
    });
  }

  /** The reserve that a number is, or null. */
  private reserveBehind(node: number): number | null {
    const { arena } = this;
    let at = node;
    while (arena.op[at] === Op.Slot && arena.a[at]) at = arena.a[at]!;
    return arena.op[at] === Op.Reserve ? at : null;
  }

  /**
   * Which end of each source lowers a reserve: the one that lowers what its condition has left, at any factor up to
   * beyond the
   * reserve itself. (At the crossing the reserve moves with the condition: dk/dx = −gₓ/gₖ with gₖ < 0.)
   */
  private reserveSigns(path: TolerancePath, reserve: number): (1 | -1 | 0 | null)[] {
    const { arena } = this;
    const { parameter, result } = arena.details.get(reserve) as Detail & { kind: 'unknown' };
    const root = arena.op[result] === Op.Add && arena.op[arena.a[result]!] === Op.Subtract ? arena.a[result]! : result;
    const most = Math.min(Math.max(4, 2 * arena.values[reserve]!), 1e6);
    const body = path.order.filter(node => arena.op[node] !== Op.Reserve);
    // Everything between the unknown and the result takes part, toleranced or not.
    const { from, to } = arena.details.get(reserve) as Detail & { kind: 'unknown' };
    const order = [
      ...body.filter(node => node < from || node >= to),
      ...Array.from({ length: to - from }, (_, i) => from + i).filter(
        node => arena.op[node] !== Op.Constant && arena.op[node] !== Op.Undetermined,
      ),
    ];
    const bounds = boundsOf(arena, order, this.ranges(path), new Map([[parameter, { low: 0, high: most }]]));
    const slopes = bounds && slopesOf(arena, order, bounds, root);
    return path.sources.map(source => (slopes ? signOf(combine(source, slopes), 1) : null));
  }

  /** The lowest (`sign` 1) or highest (`sign` -1) value of one entry. */
  extreme(node: number, sign: 1 | -1): number {
    const path = this.path([node]);
    const slopes = this.slopes(path, [node]);
    const signs = path.sources.map(source => (slopes ? signOf(combine(source, slopes.by[0]!), sign) : null));
    return this.search(
      path,
      signs,
      () => this.arena.values[node]!,
      value => sign * value,
      () => Infinity,
    ).outcome;
  }

  private slopes(
    path: TolerancePath,
    roots: readonly number[],
  ): { bounds: Map<number, Interval>; by: Map<number, Interval>[]; roots: readonly number[]; arena: Arena } | null {
    const ranges = this.ranges(path);
    const bounds = boundsOf(this.arena, path.order, ranges);
    if (!bounds) return null;
    const by: Map<number, Interval>[] = [];
    for (const root of roots) {
      const slopes = slopesOf(this.arena, path.order, bounds, root);
      if (!slopes) return null;
      by.push(slopes);
    }
    return { bounds, by, roots, arena: this.arena };
  }

  private ranges(path: TolerancePath): Map<number, Interval> {
    return new Map(
      path.sources.flatMap(source =>
        source.nodes.map(node => [node, { low: this.low(source), high: this.high(source) }] as const),
      ),
    );
  }

  /**
   * Sources whose slope has one sign go to their bad end; of the others every combination of ends is tried, and the
   * space between is bounded.
   */
  private search<T>(
    path: TolerancePath,
    signs: readonly (1 | -1 | 0 | null)[],
    measure: () => T,
    rank: (outcome: T) => number,
    reserveOver: (box: Map<number, Interval>) => number,
  ): Worst<T> {
    const shifts = new Map<number, number>();
    const undecided: ToleranceSource[] = [];
    path.sources.forEach((source, i) => {
      const sign = signs[i]!;
      if (sign === null) undecided.push(source);
      else this.shift(shifts, source, sign === 0 ? 0 : sign > 0 ? this.low(source) : this.high(source));
    });
    const tried = undecided.slice(0, MOST_UNDECIDED);
    let best: { outcome: T; shifts: Map<number, number> } | null = null;
    const attempt = (): void => {
      const outcome = this.at(path, shifts, measure);
      const value = rank(outcome);
      if (!best || value !== value || value < rank(best.outcome)) best = { outcome, shifts: new Map(shifts) };
    };
    for (let mask = 0; mask < 1 << tried.length; mask++) {
      tried.forEach((source, i) => this.shift(shifts, source, (mask >> i) & 1 ? this.high(source) : this.low(source)));
      attempt();
    }
    let bounded = undecided.length <= MOST_UNDECIDED;
    if (tried.length > 0) {
      for (const source of tried) this.shift(shifts, source, 0);
      attempt();
      bounded &&=
        rank(best!.outcome) < 0 ||
        this.boundBetween(path, shifts, tried, attempt, () => rank(best!.outcome), reserveOver);
    }
    return {
      outcome: best!.outcome,
      reading: tried.length > 0 ? 'worst case by corners' : 'worst case',
      bounded,
      shifts: best!.shifts,
    };
  }

  /**
   * Splits the space of the undecided sources until each box is shown to hold, or a point in it fails. True when
   * nothing stayed open.
   */
  private boundBetween(
    path: TolerancePath,
    shifts: Map<number, number>,
    undecided: readonly ToleranceSource[],
    attempt: () => void,
    best: () => number,
    reserveOver: (box: Map<number, Interval>) => number,
  ): boolean {
    const boxes: Interval[][] = [undecided.map(source => ({ low: this.low(source), high: this.high(source) }))];
    const ranges = new Map<number, Interval>([...shifts].map(([node, shift]) => [node, { low: shift, high: shift }]));
    for (let n = 0; boxes.length > 0; n++) {
      if (n > MOST_BOXES) return false;
      const box = boxes.pop()!;
      undecided.forEach((source, i) => source.nodes.forEach(node => ranges.set(node, box[i]!)));
      const reserve = reserveOver(ranges);
      if (reserve === -Infinity && n === 0 && !boundsOf(this.arena, path.order, ranges)) return true;
      if (reserve >= 0) continue;
      undecided.forEach((source, i) => this.shift(shifts, source, (box[i]!.low + box[i]!.high) / 2));
      attempt();
      if (best() < 0) return true;
      const widest = box.reduce((w, side, i) => (side.high - side.low > box[w]!.high - box[w]!.low ? i : w), 0);
      const middle = (box[widest]!.low + box[widest]!.high) / 2;
      boxes.push(
        box.map((side, i) => (i === widest ? { low: side.low, high: middle } : side)),
        box.map((side, i) => (i === widest ? { low: middle, high: side.high } : side)),
      );
    }
    return true;
  }

  private shift(shifts: Map<number, number>, source: ToleranceSource, by: number): void {
    for (const node of source.nodes) shifts.set(node, by);
  }

  // ---- Readings -----------------------------------------------------------------------------------------------------

  reading(op: Op, node: number, count: number): number {
    switch (op) {
      case Op.Low:
        return this.extreme(node, 1);
      case Op.High:
        return this.extreme(node, -1);
      default:
        return this.statistical(node, op === Op.RssLow ? -count : count);
    }
  }

  /** Mean plus `n` standard deviations, from the slopes at the mean. NaN where a source states no distribution. */
  private statistical(node: number, n: number): number {
    const path = this.path([node]);
    if (path.sources.some(source => source.distribution === null)) return NaN;
    const middle = new Map<number, number>();
    for (const source of path.sources) this.shift(middle, source, (this.low(source) + this.high(source)) / 2);
    return this.at(path, middle, () => {
      const points = new Map([...middle].map(([i, shift]) => [i, { low: shift, high: shift }]));
      const bounds = boundsOf(this.arena, path.order, points);
      const slopes = bounds && slopesOf(this.arena, path.order, bounds, node);
      if (!slopes) return NaN;
      let variance = 0;
      for (const source of path.sources) {
        const half = (this.high(source) - this.low(source)) / 2;
        const deviation = source.distribution === 'uniform' ? half / Math.sqrt(3) : half / (source.sigmas ?? 3);
        const slope = combine(source, slopes);
        variance += (((slope.low + slope.high) / 2) * deviation) ** 2;
      }
      return this.arena.values[node]! + n * Math.sqrt(variance);
    });
  }
}

function combine(source: ToleranceSource, slopes: ReadonlyMap<number, Interval>): Interval {
  return source.nodes.reduce<Interval>(
    (total, node) => {
      const slope = slopes.get(node) ?? { low: 0, high: 0 };
      return { low: total.low + slope.low, high: total.high + slope.high };
    },
    { low: 0, high: 0 },
  );
}

/**
 * Which way is bad: 1 when lower values of the source are worse, -1 when higher are, 0 when it makes no difference,
 * null when both can be.
 */
function signOf(slope: Interval, sign: 1 | -1): 1 | -1 | 0 | null {
  if (slope.low === 0 && slope.high === 0) return 0;
  if (slope.low >= 0) return sign;
  if (slope.high <= 0) return sign === 1 ? -1 : 1;
  return null;
}

function comparisonSign(
  {
    bounds,
    by,
    roots,
    arena,
  }: { bounds: Map<number, Interval>; by: Map<number, Interval>[]; roots: readonly number[]; arena: Arena },
  source: ToleranceSource,
  distance: boolean,
): 1 | -1 | 0 | null {
  const [applied, allowable] = roots.map(
    root => bounds.get(root) ?? { low: arena.values[root]!, high: arena.values[root]! },
  ) as [Interval, Interval];
  const [appliedSlope, allowableSlope] = by.map(slopes => combine(source, slopes)) as [Interval, Interval];
  if (distance || applied.low <= 0 || allowable.low <= 0) return signOf(subtract(allowableSlope, appliedSlope), 1);
  // d(allowable / applied) has the sign of allowable'/allowable − applied'/applied.
  return signOf(subtract(divide(allowableSlope, allowable), divide(appliedSlope, applied)), 1);
}
