/**
 * Collects the operations of one cell while its expressions are elaborated, evaluating each as it comes and sharing
 * equal ones.
 */
import type { FindingCode } from '../../language/index.js';
import { detailAs, enlarged, type Arena, type Detail, type OperandLabel } from './arena.js';
import { EntryTable } from './entry-table.js';
import { IS_SOLVED, Op, VARIES_IN_SWEEP, VARIES_WITH_TOLERANCES } from '../operations/op.js';
import { apply, OPERANDS, OPERATIONS, type Calculation } from '../operations/operations.js';
import { root } from '../operations/solvers.js';
import { lookup, lookup2, type TableData } from '../operations/table.js';

/** Operands at or above this are the builder's own entries; below, entries of the arena. */
export const LOCAL = 1 << 28;

const FIRST_SIZE = 64;
const NONE = -1;
const SOLVED = Number.MAX_SAFE_INTEGER;

export class Builder {
  private op = new Uint8Array(FIRST_SIZE);
  private a = new Int32Array(FIRST_SIZE);
  private b = new Int32Array(FIRST_SIZE);
  private c = new Int32Array(FIRST_SIZE);
  private values = new Float64Array(FIRST_SIZE);
  private variations = new Uint8Array(FIRST_SIZE);
  private count = 0;
  private readonly details = new Map<number, Detail>();
  /** Where `finish` put each entry. */
  private places = new Int32Array(FIRST_SIZE);
  /** Entries that may stand for every other with the same operation and operands. */
  private readonly shared = new EntryTable();
  private readonly reasons = new Map<string, number>();
  private journal: (() => void)[] | null = null;

  /** How often entries were taken back. */
  takenBack = 0;

  constructor(private readonly arena: Arena) {}

  /** Empties it for the next cell; making a new one for each costs more than the work itself. */
  clear(): void {
    this.count = 0;
    this.shared.clear();
    for (const map of [this.details, this.reasons]) if (map.size > 0) map.clear();
    this.journal = null;
    this.unsolved = SOLVED;
  }

  get length(): number {
    return this.count;
  }

  value(node: number): number {
    if (node - LOCAL >= this.unsolved) this.solvePending();
    return node >= LOCAL ? this.values[node - LOCAL]! : this.arena.values[node]!;
  }

  /** A number as it is now: NaN where it waits for an unknown. */
  peek(node: number): number {
    return node >= LOCAL ? this.values[node - LOCAL]! : this.arena.values[node]!;
  }

  /** What a number varies with, as bits. */
  variation(node: number): number {
    return node >= LOCAL ? this.variations[node - LOCAL]! : this.arena.tolerant[node]!;
  }

  private isTolerant(node: number): boolean {
    return (this.variation(node) & VARIES_WITH_TOLERANCES) !== 0;
  }

  isConstant(node: number): boolean {
    return node >= LOCAL ? this.op[node - LOCAL] === Op.Constant : this.arena.op[node] === Op.Constant;
  }

  constant(value: number): number {
    const known = this.find(Op.Constant, 0, 0, 0, value);
    return known >= 0 ? known : this.share(this.add(Op.Constant, 0, 0, 0, value, 0));
  }

  undetermined(code: FindingCode, data: Readonly<Record<string, string>>, place: unknown): number {
    const node = this.add(Op.Undetermined, 0, 0, 0, NaN, 0);
    this.details.set(node, { kind: 'reason', code, data, place });
    return node;
  }

  /** The same for every call of a formula at one place, so that equal rows stay equal. */
  sharedUndetermined(
    code: FindingCode,
    data: Readonly<Record<string, string>>,
    place: { readonly owner: object; readonly id: number },
  ): number {
    const key = `${code} ${JSON.stringify(data)} ${place.id}`;
    const known = this.reasons.get(key);
    if (known !== undefined) return known;
    const node = this.undetermined(code, data, place);
    this.reasons.set(key, node);
    this.journal?.push(() => this.reasons.delete(key));
    return node;
  }

  /** A number of a data file: fixed, but not folded away, so that it can be traced to its file. */
  datum(value: number, owner: unknown): number {
    const node = this.add(Op.Slot, 0, 0, 0, value, 0);
    this.details.set(node, { kind: 'slot', owner });
    return node;
  }

  node(op: Op, a: number, b = 0, c = 0): number {
    if (
      this.isConstant(a) &&
      (b === 0 || this.isConstant(b)) &&
      (c === 0 || this.isConstant(c)) &&
      op !== Op.Tolerance &&
      op < Op.LessEqual
    ) {
      const folded = apply(op, this.peek(a), b ? this.peek(b) : 0, c ? this.peek(c) : 0);
      if (folded === folded && Number.isFinite(folded)) return this.constant(folded);
    }
    // What has three operands is not shared.
    const known = c === 0 ? this.find(op, a, b, 0, 0) : NONE;
    if (known >= 0) return known;
    const node = this.add(
      op,
      a,
      b,
      c,
      apply(op, this.peek(a), b ? this.peek(b) : 0, c ? this.peek(c) : 0),
      this.variationOf(a, b, c),
    );
    return c === 0 ? this.share(node) : node;
  }

  /**
   * The shared entry with this operation and these operands, for a constant with this value; `NONE` where there is none
   * yet.
   */
  private find(op: Op, a: number, b: number, c: number, value: number): number {
    const { shared } = this;
    let slot = shared.first(hash(op, a, b, c, value));
    for (let i = shared.at(slot); i >= 0; i = shared.at(slot)) {
      if (
        this.op[i] === op &&
        this.a[i] === a &&
        this.b[i] === b &&
        this.c[i] === c &&
        (op !== Op.Constant || Object.is(this.values[i], value))
      )
        return i + LOCAL;
      slot = shared.next(slot);
    }
    return NONE;
  }

  private share(node: number): number {
    const i = node - LOCAL;
    this.shared.add(i, hash(this.op[i]!, this.a[i]!, this.b[i]!, this.c[i]!, this.values[i]!));
    return node;
  }

  /** `labels` name the operands of a `max` or `min`, so that the one that won can be told. */
  extreme(op: Op.Minimum | Op.Maximum, a: number, b: number, labels: () => readonly OperandLabel[]): number {
    const before = this.length;
    const node = this.node(op, a, b);
    // Against a fixed number there is nothing to tell.
    if (this.length > before && !this.isConstant(a) && !this.isConstant(b))
      this.details.set(node, { kind: 'operands', labels: labels() });
    return node;
  }

  table(table: TableData, origin: unknown, x: number, y?: number): number {
    const op = y === undefined ? Op.Lookup : Op.Lookup2;
    const number = this.arena.tableNumber(table);
    const known = this.find(op, x, y ?? 0, number, 0);
    if (known >= 0) return known;
    const value = y === undefined ? lookup(table, this.peek(x)) : lookup2(table, this.peek(x), this.peek(y));
    const node = this.add(op, x, y ?? 0, number, value, this.variationOf(x, y ?? 0, 0));
    this.details.set(node, { kind: 'table', table, origin });
    return this.share(node);
  }

  /** A source of variation: `below` (at most zero) and `above` (at least zero) are how far it goes from its value. */
  source(nominal: number, below: number, above: number, detail: Detail & { kind: 'source' }): number {
    const own = detail.swept ? VARIES_IN_SWEEP : VARIES_WITH_TOLERANCES;
    const deviation = this.arena.deviationOf(detail.key, this.peek(below), this.peek(above));
    const node = this.add(
      Op.Tolerance,
      nominal,
      below,
      above,
      this.peek(nominal) + deviation,
      own | this.variationOf(nominal, below, above),
    );
    this.details.set(node, detail);
    return node;
  }

  private variationOf(a: number, b: number, c: number): number {
    return this.variation(a) | (b === 0 ? 0 : this.variation(b)) | (c === 0 ? 0 : this.variation(c));
  }

  /** The lowest (`Op.Low`) or highest of a number over ranges that a sweep runs over, by the keys of these sources. */
  sweptExtreme(op: Op.Low | Op.High, node: number, sources: readonly string[], nested: boolean): number {
    if ((this.variation(node) & VARIES_IN_SWEEP) === 0) return node;
    const kept = nested ? this.variation(node) : this.variation(node) & ~VARIES_IN_SWEEP;
    const made = this.add(op, node, 0, 0, NaN, kept);
    this.details.set(made, { kind: 'extreme', sources });
    return made;
  }

  reading(op: Op, node: number, count: number): number {
    if (!this.isTolerant(node)) return node;
    return this.add(op, node, count, 0, NaN, this.variation(node) & ~VARIES_WITH_TOLERANCES);
  }

  /** The same number, to which tolerances do nothing. */
  nominal(node: number): number {
    if (!this.isTolerant(node)) return node;
    return this.add(Op.Copy, node, 0, 0, this.value(node), this.variation(node) & ~VARIES_WITH_TOLERANCES);
  }

  /**
   * The same calculation with sources of variation of its own. `follow` is told of each cell whose inside it repeats;
   * undefined where it can't be repeated.
   */
  copy(
    node: number,
    mark: string,
    follow: (owner: unknown) => void,
    made: Map<number, number> = new Map(),
  ): number | undefined {
    if (!this.isTolerant(node)) return node;
    const known = made.get(node);
    if (known !== undefined) return known;
    const local = node >= LOCAL;
    const [op, a, b, c] = local
      ? [this.op[node - LOCAL]!, this.a[node - LOCAL]!, this.b[node - LOCAL]!, this.c[node - LOCAL]!]
      : [this.arena.op[node]!, this.arena.a[node]!, this.arena.b[node]!, this.arena.c[node]!];
    const detail = local ? this.details.get(node) : this.arena.details.get(node);
    if (op === Op.Reserve || op === Op.Root || op === Op.Low || op === Op.High) return undefined;
    if (op === Op.Slot && detail?.kind === 'slot') follow(detail.owner);
    const operands = [a, b, c].map((operand, k) =>
      operand === 0 || k >= OPERANDS[op]! ? 0 : this.copy(operand, mark, follow, made),
    );
    if (operands.includes(undefined)) return undefined;
    const [x, y, z] = operands as [number, number, number];
    const result = this.repeat(op, x, y, z, detail, mark);
    made.set(node, result);
    return result;
  }

  private repeat(op: Op, x: number, y: number, z: number, detail: Detail | undefined, mark: string): number {
    if (op === Op.Tolerance)
      return this.source(x, y, z, {
        ...detailAs(detail, 'source'),
        key: `${detailAs(detail, 'source').key}${mark}`,
      });
    if (op === Op.Slot) return x;
    if (op === Op.Lookup || op === Op.Lookup2) {
      const { table, origin } = detailAs(detail, 'table');
      return this.table(table, origin, x, op === Op.Lookup2 ? y : undefined);
    }
    return this.node(op, x, y, z);
  }

  /** The unknown of `reserve` or `root`: 1 until the solver tries others. */
  parameter(initial: number): number {
    return this.add(Op.Parameter, 0, 0, 0, initial, 0);
  }

  /** `reserve` or `root` over the entries made since `from`, whose outcome is `result`. */
  solve(op: Op.Reserve | Op.Root, parameter: number, from: number, result: number, low = 0, high = 0): number {
    const to = this.length;
    const body = this.dependants(parameter, from, to);
    let variation = this.variationOf(result, low, high) | (op === Op.Reserve ? IS_SOLVED : 0);
    for (let i = from; i < to; i++) variation |= this.variations[i]!;
    const node = this.add(op, result, low, high, NaN, variation);
    if (this.unsolved === SOLVED) this.unsolved = node - LOCAL;
    this.details.set(node, {
      kind: 'unknown',
      parameter,
      from: from + LOCAL,
      to: to + LOCAL,
      body: body.map(i => i + LOCAL),
      result,
      low,
      high,
    });
    // Entries of the body are not to be shared with what follows: they hold the last trial while the solver runs.
    if (this.journal) return node;
    this.shared.keep(i => this.op[i] === Op.Constant);
    return node;
  }

  /** Entries between `from` and `to` that change with the parameter. */
  private dependants(parameter: number, from: number, to: number): number[] {
    const found: number[] = [];
    const changing = new Set([parameter]);
    for (let i = from; i < to; i++) {
      if (!changing.has(this.a[i]!) && !changing.has(this.b[i]!) && !changing.has(this.c[i]!)) continue;
      changing.add(i + LOCAL);
      found.push(i);
    }
    return found;
  }

  /**
   * Looks ahead: elaborates `trial` with an unknown between `low` and `high`, collects the values of that unknown at
   * which a table is
   * asked for one of its breakpoints, and takes everything back.
   */
  breakpoints(low: number, high: number, trial: (parameter: number) => void): number[] {
    const outer = this.journal;
    const unsolved = this.unsolved;
    this.journal = [];
    const mark = this.length;
    const parameter = this.parameter(low);
    trial(parameter);
    const found: number[] = [];
    for (let i = mark; i < this.length; i++) {
      if (this.op[i] !== Op.Lookup && this.op[i] !== Op.Lookup2) continue;
      const { table } = detailAs(this.details.get(i + LOCAL), 'table');
      this.reached(table, this.a[i]!, parameter, mark, low, high, found);
      if (this.op[i] === Op.Lookup2)
        for (const row of table.values as readonly TableData[])
          this.reached(row, this.b[i]!, parameter, mark, low, high, found);
    }
    for (const undo of this.journal.reverse()) undo();
    for (let i = mark; i < this.length; i++) this.details.delete(i + LOCAL);
    this.count = mark;
    this.shared.keep(i => i < mark);
    this.journal = outer;
    this.unsolved = unsolved;
    this.takenBack++;
    return found;
  }

  private reached(
    table: TableData,
    input: number,
    parameter: number,
    mark: number,
    low: number,
    high: number,
    found: number[],
  ): void {
    if (input === parameter) {
      found.push(...(table.keys as Float64Array));
      return;
    }
    if (input < mark + LOCAL) return;
    const f = (x: number): number => {
      this.values[parameter - LOCAL] = x;
      for (let i = mark; i <= input - LOCAL; i++) this.rerun(i);
      return this.peek(input);
    };
    for (const key of table.keys as Float64Array) {
      const at = root(x => f(x) - key, low, high);
      if (at === at) found.push(at);
    }
  }

  /** First entry that waits for its unknown to be solved; the arena does that unless a number is asked for before. */
  private unsolved = SOLVED;

  private solvePending(): void {
    const from = this.unsolved;
    this.unsolved = SOLVED;
    for (let i = from; i < this.length; i++) this.rerun(i);
  }

  /** Whether entries have to be run once they are in the arena. */
  get pending(): boolean {
    return this.unsolved !== SOLVED;
  }

  private rerun(i: number): void {
    const { calculate, value } = OPERATIONS[this.op[i] as Op];
    const [x, y] = [this.peek(this.a[i]!), this.peek(this.b[i]!)];
    if (calculate === undefined) this.values[i] = value(x, y, this.peek(this.c[i]!));
    else if (calculate !== null) this.values[i] = calculate(this.calculation, i, x, y);
  }

  /** How entries are run that need more than their operands: sources stand where they are, readings stay. */
  private readonly calculation: Calculation = {
    tableOf: i => detailAs(this.details.get(i + LOCAL), 'table').table,
    deviation: () => 0,
    reading: i => this.values[i]!,
    solve: (i, solver) => {
      const { parameter, body, result, low, high } = detailAs(this.details.get(i + LOCAL), 'unknown');
      const rest = this.peek(parameter);
      const f = (k: number): number => {
        this.values[parameter - LOCAL] = k;
        for (const j of body) this.rerun(j - LOCAL);
        return this.peek(result);
      };
      const answer = solver(f, this.peek(low), this.peek(high));
      f(rest);
      return answer;
    },
  };

  private grow(): void {
    const size = this.op.length * 2;
    this.op = enlarged(this.op, new Uint8Array(size));
    this.a = enlarged(this.a, new Int32Array(size));
    this.b = enlarged(this.b, new Int32Array(size));
    this.c = enlarged(this.c, new Int32Array(size));
    this.values = enlarged(this.values, new Float64Array(size));
    this.variations = enlarged(this.variations, new Uint8Array(size));
  }

  private add(op: Op, a: number, b: number, c: number, value: number, variation: number): number {
    const i = this.count++;
    if (i === this.op.length) this.grow();
    this.op[i] = op;
    this.a[i] = a;
    this.b[i] = b;
    this.c[i] = c;
    this.values[i] = value;
    this.variations[i] = variation;
    return i + LOCAL;
  }

  /**
   * Moves the entries into the arena, constants first, so that running the code passes over none. `relocate` turns an
   * operand of
   * this builder into one of the arena.
   */
  finish(): { start: number; code: number; end: number; relocate: (node: number) => number } {
    const { arena } = this;
    const count = this.length;
    const start = arena.allocate(count);
    if (this.places.length < count) this.places = new Int32Array(count * 2);
    const { places } = this;
    let next = start;
    for (let i = 0; i < count; i++) if (isFixed(this.op[i]!)) places[i] = next++;
    const code = next;
    for (let i = 0; i < count; i++) if (!isFixed(this.op[i]!)) places[i] = next++;
    const relocate = (node: number): number => (node >= LOCAL ? places[node - LOCAL]! : node);
    for (let i = 0; i < count; i++) {
      const [a, b, c] = [relocate(this.a[i]!), relocate(this.b[i]!), relocate(this.c[i]!)];
      arena.write(places[i]!, this.op[i]!, a, b, c, this.values[i]!, this.variations[i]!);
    }
    for (const [node, detail] of this.details)
      arena.writeDetail(relocate(node), detail.kind === 'unknown' ? this.moved(detail, relocate) : detail);
    return { start, code, end: start + count, relocate };
  }

  private moved(detail: Detail & { kind: 'unknown' }, relocate: (node: number) => number): Detail {
    const inside: number[] = [];
    for (let i = detail.from - LOCAL; i < detail.to - LOCAL; i++)
      if (!isFixed(this.op[i]!)) inside.push(relocate(i + LOCAL));
    const from = inside[0] ?? relocate(detail.result);
    return {
      ...detail,
      parameter: relocate(detail.parameter),
      from,
      to: (inside[inside.length - 1] ?? from - 1) + 1,
      body: detail.body.map(relocate),
      result: relocate(detail.result),
      low: relocate(detail.low),
      high: relocate(detail.high),
    };
  }
}

const double = new Float64Array(1);
const words = new Int32Array(double.buffer);

/** Of an operation and its operands, or of a constant and its value. */
function hash(op: number, a: number, b: number, c: number, value: number): number {
  if (op !== Op.Constant)
    return Math.imul(Math.imul(Math.imul(op + 1, 0x9e3779b1) ^ a, 0x85ebca6b) ^ b, 0xc2b2ae35) ^ c;
  double[0] = value;
  return Math.imul(words[0]! ^ Math.imul(words[1]!, 0x9e3779b1), 0x85ebca6b);
}

/** Entries that no run changes. */
function isFixed(op: number): boolean {
  return op === Op.Constant || op === Op.Undetermined;
}
