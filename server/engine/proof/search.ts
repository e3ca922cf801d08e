/**
 * The search for a lowest value over everything that varies: sources whose slope has a sign stand at their worse end,
 * what reaches the rest through one entry is a variable of its own, and the space that remains is split and bounded.
 * Everything minimises sign · root.
 */
import { Op } from '../operations/op.js';
import { blame, fix, HIGH, highOf, LOW, lowOf, SLOPE_HIGH, SLOPE_LOW, UNDEFINED } from '../operations/enclosures.js';
import type { TableData } from '../operations/table.js';
import { OPERATIONS } from '../operations/operations.js';
import type { Tape } from './tape.js';

/** When a bracket is good enough: nothing goes below `low`, and `high` was attained. */
export interface Goal {
  enough(low: number, high: number): boolean;
  /** For a part of a larger proof: how wide its bracket may be. */
  readonly width?: number;
}

/** A point of the box: values of sources of the tape. */
export type Point = ReadonlyMap<number, number>;

export interface Bracket {
  readonly low: number;
  readonly high: number;
  readonly at: Map<number, number>;
  /** What stood in the way, where the bracket is not good enough. */
  why: Obstacle | null;
}

export interface Obstacle {
  /** Entry of an operation that could not be shown to be defined. */
  readonly entry: number | null;
  /** Sources that act together in too many ways. */
  readonly sources: readonly number[];
}

/** A newer text has made the work pointless. */
export class Abandoned extends Error {}

/** At a point an operation has no value. */
export class UndefinedAt extends Error {
  constructor(
    readonly entry: number,
    readonly at: Point,
  ) {
    super();
  }
}

/** Work that is left, in boxes; `dropped` is asked now and then whether the work has become pointless. */
export class Work {
  boxes = 0;
  constructor(
    readonly budget: number,
    private readonly dropped: (() => boolean) | null = null,
  ) {}

  box(): boolean {
    if ((++this.boxes & 31) === 0 && this.dropped?.()) throw new Abandoned();
    return this.boxes <= this.budget;
  }

  part(budget: number): Work {
    return new Work(Math.min(budget, this.budget - this.boxes), this.dropped);
  }
}

type Sign = 1 | -1;

const lower = (root: number, sign: Sign): number => (sign > 0 ? lowOf(root) : -highOf(root));
const upper = (root: number, sign: Sign): number => (sign > 0 ? highOf(root) : -lowOf(root));
const slopeLow = (i: number, sign: Sign): number => (sign > 0 ? SLOPE_LOW[i]! : -SLOPE_HIGH[i]!);
const slopeHigh = (i: number, sign: Sign): number => (sign > 0 ? SLOPE_HIGH[i]! : -SLOPE_LOW[i]!);
const within = (width: number): Goal => ({ width, enough: (low, high) => high - low <= width });

/** One search: what is asked, of which entry, with what work left. */
interface Search {
  readonly tape: Tape;
  readonly root: number;
  readonly sign: Sign;
  readonly goal: Goal;
  readonly work: Work;
  /** Sources one by one: a value in which a module jumps is not attained between its ends. */
  readonly withoutModules?: boolean;
}

/** Lowest sign · root over the ranges that `free` have in LOW and HIGH. Throws `UndefinedAt` and `Abandoned`. */
export function solve(
  search: Search,
  free: readonly number[],
  live: Int32Array = search.tape.live(free, search.root),
  alreadyEnclosed = false,
): Bracket {
  const { tape, root, sign, goal } = search;
  const at = new Map<number, number>();
  const open = toWorseEnds(search, free, live, at, alreadyEnclosed);
  if ((UNDEFINED[root]! & 2) !== 0 || (UNDEFINED[root] !== 0 && open.length === 0))
    throw new UndefinedAt(blame.entry, new Map(at));
  if (open.length === 0) return { low: lower(root, sign), high: upper(root, sign), at, why: null };
  const natural = lower(root, sign);
  if (UNDEFINED[root] === 0 && goal.enough(natural, Infinity)) {
    for (const s of open) at.set(s, lowOf(s) + (highOf(s) - lowOf(s)) / 2);
    return { low: natural, high: Infinity, at, why: null };
  }
  const modules =
    open.length > 1 && UNDEFINED[root] === 0 && !search.withoutModules ? modulesBelow(tape, root, open, live) : [];
  const result =
    modules.length === 0 ? branch(search, variablesOf(open), live, []) : solveModules(search, open, modules);
  for (const [i, x] of at) result.at.set(i, x);
  return result;
}

function variablesOf(sources: readonly number[]): Variable[] {
  return sources.map(entry => ({ entry, low: lowOf(entry), high: highOf(entry), from: null, to: null }));
}

/** Sources whose slope has one sign go to their worse end, which may decide others; gives those that stay open. */
function toWorseEnds(
  { tape, root, sign, work }: Search,
  sources: readonly number[],
  live: Int32Array,
  at: Map<number, number>,
  alreadyEnclosed: boolean,
): readonly number[] {
  let free = sources;
  for (let fresh = !alreadyEnclosed; ; fresh = true) {
    if (fresh) {
      work.box();
      blame.entry = 0;
      tape.enclose(live);
    }
    if (UNDEFINED[root] !== 0 || free.length === 0) return free;
    tape.slopes(live, free, root);
    const open: number[] = [];
    for (const s of free) {
      const low = slopeLow(s, sign);
      const high = slopeHigh(s, sign);
      if (low >= 0 || high <= 0) {
        const x = low === 0 && high === 0 ? (tape.source(s)?.nominal ?? lowOf(s)) : low >= 0 ? lowOf(s) : highOf(s);
        fix(s, x);
        at.set(s, x);
      } else open.push(s);
    }
    if (open.length === free.length) return open;
    free = open;
  }
}

// ---- Modules --------------------------------------------------------------------------------------------------------

/** Sources that reach the root through one entry only: one variable, whatever stands behind it. */
interface Module {
  readonly head: number;
  readonly sources: readonly number[];
  least?: Bracket | null;
  most?: Bracket | null;
}

/** A range of an entry that a search runs over; a module is known to be attained only between `from` and `to`. */
interface Variable {
  readonly entry: number;
  readonly low: number;
  readonly high: number;
  readonly from: number | null;
  readonly to: number | null;
}

/** A module that only one end of is needed of: its bracket, and where it was attained. */
interface Pin {
  readonly entry: number;
  readonly low: number;
  readonly high: number;
  readonly at: number;
}

/** Most sources that modules are looked for among: they are kept as bits. */
const MOST_FOR_MODULES = 62;

function solveModules(search: Search, open: readonly number[], modules: readonly Module[]): Bracket {
  const { tape, root, sign, goal, work } = search;
  const ranges = new Map(open.map(s => [s, [lowOf(s), highOf(s)] as const]));
  const sides = modules.map(({ head }) => ({
    low: slopeLow(head, sign),
    high: slopeHigh(head, sign),
    width: highOf(head) - lowOf(head),
  }));
  // What a module may be wrong by is its share of what the whole may be.
  const allowed = goal.width ?? 1e-3 * (highOf(root) - lowOf(root));
  const inModules = new Set(modules.flatMap(module => module.sources));
  const own = open.filter(s => !inModules.has(s));
  const heads = modules.map(module => module.head);
  const outer = tape.live([...own, ...heads], root, heads);
  const mixed = own.length > 0 || sides.some(side => side.low < 0 && side.high > 0);
  let result: Bracket | null = null;
  for (const share of goal.width ? [1] : [1, 1e-3]) {
    const pins: Pin[] = [];
    const variables: Variable[] = own.map(s => {
      const [low, high] = ranges.get(s)!;
      return { entry: s, low, high, from: null, to: null };
    });
    modules.forEach((module, n) => {
      const { low, high, width } = sides[n]!;
      const steep = Math.max(Math.abs(low), Math.abs(high));
      const error = (share * allowed * (module.sources.length / open.length) * (mixed ? 0.5 : 0.99)) / steep;
      const accuracy = error > 0 && Number.isFinite(error) ? Math.max(error, 1e-12 * width) : 1e-4 * share * width;
      const ask = (side: Sign): Bracket => {
        for (const s of module.sources) [LOW[s], HIGH[s]] = ranges.get(s)! as [number, number];
        return solve({ tape, root: module.head, sign: side, goal: within(accuracy), work }, module.sources);
      };
      const least = high <= 0 ? null : ask(1);
      const most = low >= 0 ? null : ask(-1);
      module.least = least;
      module.most = most;
      const entry = module.head;
      if (least && most) variables.push({ entry, low: least.low, high: -most.low, from: least.high, to: -most.high });
      else if (least) pins.push({ entry, low: least.low, high: least.high, at: least.high });
      else if (most) pins.push({ entry, low: -most.high, high: -most.low, at: -most.high });
    });
    result = branch(search, variables, outer, pins);
    if (goal.enough(result.low, result.high) || work.boxes > work.budget) break;
  }
  const found = result!;
  for (const module of modules) {
    spread(tape, module, found.at);
    const why = module.least?.why ?? module.most?.why;
    if (found.why && why) found.why = why;
  }
  return found;
}

/** Sources of a module for the value that its head has in the answer: at an end, or found between both by halving. */
function spread(tape: Tape, module: Module, at: Map<number, number>): void {
  const { head, sources, least, most } = module;
  const wanted = at.get(head);
  at.delete(head);
  const putAll = (point: Point): void => {
    for (const [s, x] of point) at.set(s, x);
  };
  if (!most || (least && wanted === least.high)) return putAll(least!.at);
  if (!least || wanted === -most.high) return putAll(most.at);
  const live = tape.live(sources, head);
  let [p, q] = [0, 1];
  let mix: Map<number, number> = least.at;
  for (let n = 0; n < 50; n++) {
    const t = (p + q) / 2;
    mix = new Map([...least.at].map(([s, x]) => [s, x + t * ((most.at.get(s) ?? x) - x)]));
    for (const [s, x] of mix) fix(s, x);
    tape.enclose(live);
    if (highOf(head) < wanted!) p = t;
    else q = t;
  }
  putAll(mix);
}

/** Which of the free sources are below an entry, as bits. */
class Bits {
  readonly first: Int32Array;
  readonly second: Int32Array;
  constructor(size: number) {
    this.first = new Int32Array(size);
    this.second = new Int32Array(size);
  }
  add(i: number, from: Bits, of: number): void {
    this.first[i] = this.first[i]! | from.first[of]!;
    this.second[i] = this.second[i]! | from.second[of]!;
  }
  isEmpty(i: number): boolean {
    return this.first[i] === 0 && this.second[i] === 0;
  }
  equals(other: Bits, i: number): boolean {
    return this.first[i] === other.first[i] && this.second[i] === other.second[i];
  }
}

/**
 * Dominators from the root down: heads of what the free sources reach it through. A chain that all of them share is
 * walked down first.
 */
function modulesBelow(tape: Tape, root: number, free: readonly number[], live: Int32Array): Module[] {
  if (free.length > MOST_FOR_MODULES) return [];
  const { size } = tape;
  const up = new Int32Array(size).fill(-1);
  const depth = new Int32Array(size);
  const reached = new Bits(size);
  const held = new Bits(size);
  free.forEach((s, k) => {
    if (k < 31) reached.first[s] = 1 << k;
    else reached.second[s] = 1 << (k - 31);
  });
  for (const i of live) for (const x of tape.operands(i)) reached.add(i, reached, x);
  up[root] = root;
  const meet = (x: number, y: number): number => {
    while (x !== y) {
      if (depth[x]! >= depth[y]!) x = up[x]!;
      else y = up[y]!;
    }
    return x;
  };
  for (let k = live.length - 1; k >= 0; k--) {
    const i = live[k]!;
    if (up[i]! < 0) continue;
    if (i !== root) depth[i] = depth[up[i]!]! + 1;
    for (const x of tape.operands(i)) if (!reached.isEmpty(x)) up[x] = up[x]! < 0 ? i : meet(up[x]!, i);
  }
  for (const s of free) {
    depth[s] = up[s]! < 0 ? 0 : depth[up[s]!]! + 1;
    for (let x = s; x >= 0 && x !== root; x = up[x]!) held.add(x, reached, s);
  }
  for (let top = root; ;) {
    const heads = new Map<number, number[]>();
    for (const s of free) {
      let head = s;
      for (let x = up[s]!; x >= 0 && x !== top; x = up[x]!) if (reached.equals(held, x)) head = x;
      const sources = heads.get(head);
      if (sources) sources.push(s);
      else heads.set(head, [s]);
    }
    const only = heads.size === 1 ? [...heads.keys()][0]! : -1;
    if (only >= 0 && !free.includes(only)) {
      top = only;
      continue;
    }
    return [...heads].filter(([head]) => !free.includes(head)).map(([head, sources]) => ({ head, sources }));
  }
}

// ---- Branch and bound -----------------------------------------------------------------------------------------------

interface Box {
  readonly bound: number;
  readonly low: number[];
  readonly high: number[];
  /** The variable that is split next. */
  readonly split: number;
}

/** Boxes best first: bound by the natural enclosure or the centred form, whichever is better. */
function branch(search: Search, variables: readonly Variable[], live: Int32Array, pins: readonly Pin[]): Bracket {
  const state = new Branching(search, variables, live, pins);
  return state.run();
}

class Branching {
  private readonly leaves: readonly number[];
  private readonly widths: readonly number[];
  private readonly heap: Box[] = [];
  private readonly centre: number[];
  private best: { high: number; at: number[] | null } = { high: Infinity, at: null };
  /** Lowest bound of boxes that were good enough, and of boxes too small to split. */
  private settled = Infinity;
  private stuck = Infinity;
  private culprit: number | null = null;
  /** Whether the point that was sampled last is not quite the one that was asked for. */
  private moved = false;

  constructor(
    private readonly search: Search,
    private readonly variables: readonly Variable[],
    private readonly live: Int32Array,
    private readonly pins: readonly Pin[],
  ) {
    this.leaves = variables.map(variable => variable.entry);
    this.widths = variables.map(variable => variable.high - variable.low || 1);
    this.centre = new Array<number>(variables.length).fill(0.5);
  }

  run(): Bracket {
    const { goal } = this.search;
    const { variables, heap } = this;
    const breaks = this.leaves.map(entry => breakpoints(this.search.tape, this.live, entry));
    // Plain arrays: typed ones are dear to a collector by the thousand.
    this.consider(
      variables.map(variable => variable.low),
      variables.map(variable => variable.high),
      -Infinity,
    );
    for (let splits = 0; heap.length > 0;) {
      const low = Math.min(heap[0]!.bound, this.settled, this.stuck);
      if (low > -Infinity && goal.enough(low, this.best.high)) break;
      if (this.stuck < heap[0]!.bound && this.stuck === low && splits > 200) break;
      const box = pop(heap);
      if (box.bound > -Infinity && goal.enough(box.bound, this.best.high)) {
        this.settled = Math.min(this.settled, box.bound);
        continue;
      }
      if (++splits === 24 && this.best.at) this.polish();
      const middle = splitPoint(box.low[box.split]!, box.high[box.split]!, breaks[box.split]!);
      const high = box.high.slice();
      const lowEnds = box.low.slice();
      high[box.split] = middle;
      lowEnds[box.split] = middle;
      const first = this.consider(box.low, high, box.bound);
      const second = this.consider(lowEnds, box.high, box.bound);
      if (!first || !second) break;
    }
    return this.bracket();
  }

  private bracket(): Bracket {
    const { heap, best, leaves } = this;
    const low = Math.min(heap[0]?.bound ?? Infinity, this.settled, this.stuck, best.high);
    const box = heap[0];
    const why = this.search.goal.enough(low, best.high)
      ? null
      : {
          entry: this.culprit,
          sources: leaves.filter((_, k) => (box ? box.high[k]! - box.low[k]! : 0) > 0),
        };
    const at = new Map(
      leaves.map((entry, k) => [entry, best.at?.[k] ?? (this.variables[k]!.low + this.variables[k]!.high) / 2]),
    );
    for (const pin of this.pins) at.set(pin.entry, pin.at);
    return { low, high: best.high, at, why };
  }

  private enclose(): void {
    blame.entry = 0;
    this.search.tape.enclose(this.live);
  }

  private pinWidths(): void {
    for (const pin of this.pins) {
      LOW[pin.entry] = pin.low;
      HIGH[pin.entry] = pin.high;
    }
  }

  /** Encloses the root at one point, and keeps it where it is the lowest. */
  private sample(x: readonly number[]): void {
    const { root, sign, work } = this.search;
    this.moved = this.pins.length > 0;
    this.variables.forEach(({ entry, from, to }, k) => {
      const y = from === null || to === null ? x[k]! : Math.min(to, Math.max(from, x[k]!));
      if (y !== x[k]) this.moved = true;
      fix(entry, y);
    });
    for (const pin of this.pins) fix(pin.entry, pin.at);
    work.box();
    this.enclose();
    if (UNDEFINED[root] !== 0) {
      if (UNDEFINED[root]! & 2) throw new UndefinedAt(blame.entry, this.pointOf(this.leaves.map(i => lowOf(i))));
      return;
    }
    const high = upper(root, sign);
    if (high < this.best.high) this.best = { high, at: this.leaves.map(i => lowOf(i)) };
  }

  private pointOf(x: readonly number[]): Map<number, number> {
    return new Map(this.leaves.map((entry, k) => [entry, x[k]!]));
  }

  /** Bounds a box and puts it on the heap; false where no work is left. */
  private consider(low: number[], high: number[], inherited: number): boolean {
    const { search, leaves, heap, widths } = this;
    const { root, sign, goal, work } = search;
    leaves.forEach((entry, k) => {
      LOW[entry] = low[k]!;
      HIGH[entry] = high[k]!;
    });
    this.pinWidths();
    const workLeft = work.box();
    this.enclose();
    const natural = Math.max(inherited, lower(root, sign));
    const { bound, split } =
      UNDEFINED[root] !== 0 ? this.boundUndefined(low, high) : this.boundBySlopes(low, high, natural);
    if (split < 0) {
      this.settled = Math.min(this.settled, bound);
      return workLeft;
    }
    if (bound === Infinity || (bound > -Infinity && goal.enough(bound, this.best.high))) {
      this.settled = Math.min(this.settled, bound);
      return workLeft;
    }
    const width = high[split]! - low[split]!;
    const size = Math.abs(low[split]!) + Math.abs(high[split]!);
    if (!(width > 1e-11 * size && width > 1e-12 * widths[split]!)) {
      this.stuck = Math.min(this.stuck, bound);
      return workLeft;
    }
    push(heap, { bound, low, high, split });
    return workLeft;
  }

  /** Variables whose slope has a sign stand at an end of the box; the centred form bounds the rest. */
  private boundBySlopes(low: number[], high: number[], natural: number): { bound: number; split: number } {
    const { leaves, widths, centre } = this;
    const { tape, root, sign } = this.search;
    const spreadOfRoot = highOf(root) - lowOf(root);
    tape.slopes(this.live, leaves, root);
    let sum = 0;
    let split = -1;
    let most = -1;
    leaves.forEach((entry, k) => {
      const width = high[k]! - low[k]!;
      const l = slopeLow(entry, sign);
      const h = slopeHigh(entry, sign);
      if (l >= 0) {
        high[k] = centre[k] = low[k]!;
        return;
      }
      if (h <= 0) {
        low[k] = centre[k] = high[k]!;
        return;
      }
      // The centre that gives the best bound leans to where the slope says it is low.
      let loss = Infinity;
      if (l > -Infinity && h < Infinity) {
        loss = ((-l * h) / (h - l)) * width;
        centre[k] = low[k]! + width * (-l / (h - l));
      } else if (l > -Infinity) {
        loss = -l * width;
        centre[k] = low[k]!;
      } else if (h < Infinity) {
        loss = h * width;
        centre[k] = high[k]!;
      } else centre[k] = low[k]! + width / 2;
      sum += loss;
      const relative = width / widths[k]!;
      const score = loss < Infinity ? loss : spreadOfRoot < Infinity ? spreadOfRoot * relative : 1e30 * relative;
      if (score > most) [most, split] = [score, k];
    });
    let bound = natural;
    this.sample(centre.slice());
    if (sum < Infinity && UNDEFINED[root] === 0) {
      // The bound is taken at the centre itself, and pinned modules keep the width of their bracket in it.
      if (this.moved) this.encloseAt(centre);
      bound = Math.max(bound, lower(root, sign) - sum * (1 + 1e-14));
    }
    if (split < 0) {
      this.encloseAt(low);
      bound = Math.max(bound, lower(root, sign));
    }
    return { bound, split };
  }

  private encloseAt(x: readonly number[]): void {
    this.pinWidths();
    this.leaves.forEach((entry, k) => fix(entry, x[k]!));
    this.enclose();
  }

  /** Whether it really is undefined is found out first: the variable that moves the culprit most is split. */
  private boundUndefined(low: number[], high: number[]): { bound: number; split: number } {
    const { leaves, live, widths } = this;
    const { tape, root } = this.search;
    const culprit = blame.entry;
    const operand = culprit === 0 ? root : culpritOperand(tape, culprit, live, leaves);
    this.culprit = culprit === 0 ? null : culprit;
    const reached = live.includes(operand) || leaves.includes(operand);
    if (reached)
      tape.slopes(
        live.filter(i => i <= operand),
        leaves,
        operand,
      );
    const [lowAt, highAt] = [low.slice(), high.slice()];
    const middle = leaves.map((_, k) => low[k]! + (high[k]! - low[k]!) / 2);
    let split = -1;
    let most = -1;
    let steady = reached;
    leaves.forEach((entry, k) => {
      const width = high[k]! - low[k]!;
      const [l, h] = reached ? [SLOPE_LOW[entry]!, SLOPE_HIGH[entry]!] : [1, 1];
      const steep = Math.max(Math.abs(l), Math.abs(h));
      if (!Number.isFinite(steep)) steady = false;
      const score = Number.isFinite(steep) ? steep * width : (width / widths[k]!) * 1e30;
      if (l + h < 0) [lowAt[k], highAt[k]] = [high[k]!, low[k]!];
      if (score > most) [most, split] = [score, k];
    });
    this.sample(middle);
    this.sample(lowAt);
    const p = highOf(operand);
    this.sample(highAt);
    const q = lowOf(operand);
    // Continuous, and on both sides of what it must not meet: it meets it.
    if (culprit !== 0 && steady && q > p && OPERATIONS[tape.op[culprit] as Op].meetsPole?.(tape, culprit, p, q))
      throw new UndefinedAt(culprit, this.pointOf(middle));
    return { bound: -Infinity, split };
  }

  /** A short search by coordinates from the best point, to have something to discard boxes with. */
  private polish(): void {
    const n = this.variables.length;
    let tries = 0;
    for (let step = 0.1; step > 1e-4 && tries < 20 * n; step /= 4) {
      for (let k = 0; k < n; k++) {
        const { low, high } = this.variables[k]!;
        for (const way of [1, -1]) {
          const x = this.best.at!.slice();
          const before = this.best.high;
          x[k] = Math.min(high, Math.max(low, x[k]! + way * step * this.widths[k]!));
          this.sample(x);
          tries++;
          if (this.best.high < before) break;
        }
      }
    }
  }
}

/** The middle, or the breakpoint nearest to it: kinks and steps become ends of boxes. */
function splitPoint(low: number, high: number, breaks: readonly number[]): number {
  const middle = low + (high - low) / 2;
  let best = middle;
  let distance = Infinity;
  for (const x of breaks) {
    if (x > low && x < high && Math.abs(x - middle) < distance) [best, distance] = [x, Math.abs(x - middle)];
  }
  return best;
}

/** The operand by which an operation became undefined. */
function culpritOperand(tape: Tape, i: number, live: Int32Array, leaves: readonly number[]): number {
  const isLive = (x: number): boolean => live.includes(x) || leaves.includes(x);
  const op = tape.op[i] as Op;
  if (op === Op.Reserve || op === Op.Root || op === Op.Low || op === Op.High)
    return tape.unknownOf(i).free.find(isLive) ?? i;
  const first = OPERATIONS[op].isDefinedBySecond ? tape.b[i]! : tape.a[i]!;
  return op === Op.Lookup2 && !isLive(first) ? tape.b[i]! : first;
}

/** Breakpoints of the tables that are asked with an entry itself. */
function breakpoints(tape: Tape, live: Int32Array, entry: number): number[] {
  const found = new Set<number>();
  for (const i of live) {
    if (!tape.isLookup(i)) continue;
    const table = tape.tableOf(i);
    if (tape.a[i] === entry) for (const x of table.keys as Float64Array) found.add(x);
    if (tape.op[i] === Op.Lookup2 && tape.b[i] === entry)
      for (const row of table.values as readonly TableData[]) for (const x of row.keys as Float64Array) found.add(x);
  }
  return [...found];
}

function push(heap: Box[], box: Box): void {
  let k = heap.push(box) - 1;
  while (k > 0) {
    const parent = (k - 1) >> 1;
    if (heap[parent]!.bound <= box.bound) break;
    heap[k] = heap[parent]!;
    k = parent;
  }
  heap[k] = box;
}

function pop(heap: Box[]): Box {
  const top = heap[0]!;
  const last = heap.pop()!;
  const n = heap.length;
  if (n === 0) return top;
  let k = 0;
  for (;;) {
    let child = 2 * k + 1;
    if (child >= n) break;
    if (child + 1 < n && heap[child + 1]!.bound < heap[child]!.bound) child++;
    if (heap[child]!.bound >= last.bound) break;
    heap[k] = heap[child]!;
    k = child;
  }
  heap[k] = last;
  return top;
}
