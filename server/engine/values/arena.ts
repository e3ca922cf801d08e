/**
 * The numbers of one evaluation and the code that makes them: flat typed arrays, one entry an operation. An entry's
 * operands are
 * entries; a cell's result has a slot that outlives its code, so that a user's code never needs to change with it.
 * Every reading
 * (numbers, intervals, derivatives, worst cases) is a walk over the same entries.
 */
import { bug } from '../../base/index.js';
import type { FindingCode } from '../../language/index.js';
import { Op } from '../operations/op.js';
import { OPERANDS, OPERATIONS, SOLVED, type Calculation } from '../operations/operations.js';
import { lookup, type TableData } from '../operations/table.js';
import type { Place, Quantity } from './value.js';

/** What an operand of `max` or `min` is called when it wins: a name, or where it is written. */
export type OperandLabel = string | Place;

/** What an operation needs beside three operands. */
export type Detail =
  | { readonly kind: 'table'; readonly table: TableData; readonly origin: unknown }
  | {
      readonly kind: 'source';
      readonly key: string;
      readonly distribution: 'normal' | 'uniform' | null;
      readonly sigmas: number | null;
      /** What varies, for messages. */
      readonly name: string;
      /** A range that a sweep runs over, not a tolerance. */
      readonly swept: boolean;
      /** Where a tolerance is written, and what it is a tolerance of; null for a range that is swept. */
      readonly written: { readonly place: Place; readonly quantity: Omit<Quantity, 'kind' | 'node'> } | null;
    }
  | {
      /** A lowest or highest value over sources that it runs over itself. */
      readonly kind: 'extreme';
      readonly sources: readonly string[];
    }
  | {
      readonly kind: 'unknown';
      readonly parameter: number;
      readonly from: number;
      readonly to: number;
      readonly body: readonly number[];
      readonly result: number;
      readonly low: number;
      readonly high: number;
    }
  | {
      readonly kind: 'reason';
      readonly code: FindingCode;
      readonly data: Readonly<Record<string, string>>;
      readonly place: unknown;
    }
  | { readonly kind: 'operands'; readonly labels: readonly OperandLabel[] }
  | { readonly kind: 'slot'; readonly owner: unknown };

/** A detail that is known to be of a kind. */
export function detailAs<K extends Detail['kind']>(detail: Detail | undefined, kind: K): Extract<Detail, { kind: K }> {
  return isDetail(detail, kind) ? detail : bug(`an entry has no ${kind}`);
}

function isDetail<K extends Detail['kind']>(
  detail: Detail | undefined,
  kind: K,
): detail is Extract<Detail, { kind: K }> {
  return detail?.kind === kind;
}

/** Computes worst and statistical readings, which need the whole graph below a node. */
export interface Readings {
  reading(entry: number): number;
}

/** Places of sources of variation by their keys: −1 at the lower end, 0 nominal, 1 at the upper. */
export type Shares = ReadonlyMap<string, number>;

/** An array of numbers that only the arena writes. */
type Numbers = Readonly<ArrayLike<number>>;

const NO_TABLE: TableData = { interpolation: 'exact', keys: [], values: [] };

/**
 * The room that some entries get: at most a quarter more than they need, so that what is freed fits what comes later,
 * which seldom has the same length.
 */
function roomFor(count: number): number {
  if (count <= 8) return count;
  const step = 2 ** (Math.floor(Math.log2(count)) - 2);
  return Math.ceil(count / step) * step;
}

/** Details by entry. Most entries of a project have one, so they stand in a list. */
class Details {
  private readonly list: (Detail | undefined)[] = [];

  get(entry: number): Detail | undefined {
    return this.list[entry];
  }

  set(entry: number, detail: Detail): void {
    for (let next = this.list.length; next < entry; next++) this.list.push(undefined);
    this.list[entry] = detail;
  }

  /** Forgets those from `start` up to `end`. */
  clear(start: number, end: number): void {
    for (let i = start; i < end && i < this.list.length; i++) this.list[i] = undefined;
  }
}

export class Arena implements Calculation {
  private operations = new Uint8Array(1024);
  private first = new Int32Array(1024);
  private second = new Int32Array(1024);
  private third = new Int32Array(1024);
  private numbers = new Float64Array(1024);
  private variations = new Uint8Array(1024);
  private readonly detailOf = new Details();
  readings: Readings | undefined;
  /** Where sources of variation stand while a worst case is looked at. */
  private shares: Shares | null = null;
  /** Tables by the number that lookups carry as their third operand. */
  readonly tables: TableData[] = [];
  private readonly tableNumbers = new Map<TableData, number>();
  private readonly freedTables: number[] = [];
  /** How many tables there may be before those are looked for that nothing asks. */
  private mostTables = 64;
  /** Marks of the walk that is going on. */
  private visits = new Int32Array(1024);
  private visit = 0;
  private top = 1;
  /** Beginnings of what was freed, by its room. */
  private readonly freed = new Map<number, number[]>();

  get size(): number {
    return this.top;
  }

  get op(): Numbers {
    return this.operations;
  }

  opAt(entry: number): Op {
    return this.operations[entry] as Op;
  }

  get a(): Numbers {
    return this.first;
  }

  get b(): Numbers {
    return this.second;
  }

  get c(): Numbers {
    return this.third;
  }

  get values(): Numbers {
    return this.numbers;
  }

  /** What numbers vary with, as bits (`proof/tape.ts`). */
  get tolerant(): Numbers {
    return this.variations;
  }

  get details(): Pick<Details, 'get'> {
    return this.detailOf;
  }

  tableNumber(table: TableData): number {
    let number = this.tableNumbers.get(table);
    if (number === undefined) {
      number = this.freedTables.pop() ?? this.tables.length;
      this.tables[number] = table;
      this.tableNumbers.set(table, number);
    }
    return number;
  }

  /** Forgets the tables that no entry asks, where many came. Between elaborations: what these make is no entry yet. */
  freeTables(): void {
    if (this.tableNumbers.size <= this.mostTables) return;
    const asked = new Set<number>();
    for (let i = 1; i < this.top; i++)
      if (this.operations[i] === Op.Lookup || this.operations[i] === Op.Lookup2) asked.add(this.third[i]!);
    for (const [table, number] of this.tableNumbers) {
      if (asked.has(number)) continue;
      this.tableNumbers.delete(table);
      this.tables[number] = NO_TABLE;
      this.freedTables.push(number);
    }
    this.mostTables = 2 * this.tableNumbers.size + 64;
  }

  /** Entries in a row; where others were freed, in their place. */
  allocate(count: number): number {
    const room = roomFor(count);
    const reused = this.freed.get(room)?.pop();
    if (reused !== undefined) return reused;
    const start = this.top;
    this.top += room;
    if (this.top > this.operations.length) this.grow(this.top);
    return start;
  }

  free(start: number, count: number): void {
    if (count === 0) return;
    this.detailOf.clear(start, start + count);
    const room = roomFor(count);
    const list = this.freed.get(room);
    if (list) list.push(start);
    else this.freed.set(room, [start]);
  }

  /** Writes an entry. Its operands are entries; what it varies with are bits. */
  write(at: number, op: Op, a: number, b: number, c: number, value: number, variation: number): void {
    this.operations[at] = op;
    this.first[at] = a;
    this.second[at] = b;
    this.third[at] = c;
    this.numbers[at] = value;
    this.variations[at] = variation;
  }

  writeDetail(at: number, detail: Detail): void {
    this.detailOf.set(at, detail);
  }

  /** A new entry that holds a number; to be freed. */
  constant(value: number): number {
    const at = this.allocate(1);
    this.write(at, Op.Constant, 0, 0, 0, value, 0);
    return at;
  }

  /** Gives an entry another number. */
  setValue(at: number, value: number): void {
    this.numbers[at] = value;
  }

  /** Lets a slot show another entry; whether its number may be another than before. */
  fillSlot(slot: number, definition: number, owner: unknown): boolean {
    const { numbers, variations } = this;
    const same = variations[definition] === 0 && Object.is(numbers[slot], numbers[definition]);
    this.write(slot, Op.Slot, definition, 0, 0, numbers[definition]!, variations[definition]!);
    this.detailOf.set(slot, { kind: 'slot', owner });
    return !same;
  }

  /**
   * Takes over the number of the entry that a slot shows; whether it is another. One that varies may have kept its
   * nominal value while its ends moved, so it is never taken for the same.
   */
  refreshSlot(slot: number): boolean {
    const { numbers } = this;
    const next = numbers[this.first[slot]!]!;
    const old = numbers[slot]!;
    if (this.variations[slot] === 0 && (next === old || (next !== next && old !== old))) return false;
    numbers[slot] = next;
    return true;
  }

  /** Whether `count` entries from `was` and from `is` are the same code but for the numbers in it. */
  isSameCode(was: number, is: number, count: number): boolean {
    const { operations, first, second, third } = this;
    const moved = (x: number): number => (x >= was && x < was + count ? x - was + is : x);
    for (let i = 0; i < count; i++) {
      const [x, y] = [was + i, is + i];
      if (
        operations[x] !== operations[y] ||
        moved(first[x]!) !== first[y] ||
        moved(second[x]!) !== second[y] ||
        moved(third[x]!) !== third[y]
      )
        return false;
    }
    return true;
  }

  /** Calls `read` with entries, in order of calculation, as they are at the given places; then puts them back. */
  standingAt<T>(entries: readonly number[], shares: Shares, read: () => T): T {
    const { numbers } = this;
    const before = entries.map(i => numbers[i]!);
    const outer = this.shares;
    this.shares = shares;
    try {
      for (const i of entries) {
        if (this.operations[i] === Op.Slot) numbers[i] = numbers[this.first[i]!]!;
        else this.step(i);
      }
      return read();
    } finally {
      this.shares = outer;
      entries.forEach((entry, k) => {
        numbers[entry] = before[k]!;
      });
    }
  }

  /** Where a source stands while `standingAt` reads; undefined where none does. */
  shareOf(key: string): number | undefined {
    return this.shares?.get(key);
  }

  private grow(needed: number): void {
    let size = this.operations.length;
    while (size < needed) size *= 2;
    this.operations = enlarged(this.operations, new Uint8Array(size));
    this.first = enlarged(this.first, new Int32Array(size));
    this.second = enlarged(this.second, new Int32Array(size));
    this.third = enlarged(this.third, new Int32Array(size));
    this.numbers = enlarged(this.numbers, new Float64Array(size));
    this.variations = enlarged(this.variations, new Uint8Array(size));
  }

  /** Runs the entries from `start` up to `end`, in order. Those of most models are written out, which is faster. */
  run(start: number, end: number): void {
    const { operations: op, first: a, second: b, numbers: values } = this;
    for (let i = start; i < end; i++) {
      switch (op[i]) {
        case Op.Constant:
        case Op.Slot:
        case Op.Undetermined:
        case Op.Parameter:
          break;
        case Op.Copy:
          values[i] = values[a[i]!]!;
          break;
        case Op.Add:
          values[i] = values[a[i]!]! + values[b[i]!]!;
          break;
        case Op.Subtract:
          values[i] = values[a[i]!]! - values[b[i]!]!;
          break;
        case Op.Multiply:
          values[i] = values[a[i]!]! * values[b[i]!]!;
          break;
        case Op.Divide: {
          const y = values[b[i]!]!;
          values[i] = values[a[i]!]! / y;
          // Apart: a choice between the two would be kept as an object.
          if (y === 0) values[i] = NaN;
          break;
        }
        case Op.Negate:
          values[i] = -values[a[i]!]!;
          break;
        case Op.Lookup:
          values[i] = lookup(this.tables[this.third[i]!]!, values[a[i]!]!);
          break;
        case Op.SquareRoot:
          values[i] = Math.sqrt(values[a[i]!]!);
          break;
        case Op.Power: {
          const x = values[a[i]!]!;
          const y = values[b[i]!]!;
          values[i] = y === 3 ? x * x * x : OPERATIONS[Op.Power].value(x, y, 0);
          break;
        }
        case Op.Square: {
          const x = values[a[i]!]!;
          values[i] = x * x;
          break;
        }
        default:
          this.step(i);
      }
    }
  }

  /** Runs one entry of any kind. */
  step(i: number): void {
    const { numbers: values } = this;
    const { calculate, value } = OPERATIONS[this.operations[i] as Op];
    const [x, y] = [values[this.first[i]!]!, values[this.second[i]!]!];
    if (calculate === undefined) values[i] = value(x, y, values[this.third[i]!]!);
    else if (calculate !== null) values[i] = calculate(this, i, x, y);
  }

  reading(i: number): number {
    return this.readings ? this.readings.reading(i) : NaN;
  }

  deviation(i: number): number {
    if (this.shares === null) return 0;
    const { key } = detailAs(this.detailOf.get(i), 'source');
    return this.deviationOf(key, this.numbers[this.second[i]!]!, this.numbers[this.third[i]!]!);
  }

  /** The same of a source that is no entry yet, by its key and how far it goes. */
  deviationOf(key: string, below: number, above: number): number {
    const share = this.shares?.get(key) ?? 0;
    return share > 0 ? share * above : share < 0 ? -share * below : 0;
  }

  /** The entries that entry `i` is calculated from; a slot's is the entry that fills it. */
  operands(i: number): readonly number[] {
    const found: number[] = [];
    this.pushOperands(i, found);
    return found;
  }

  /** Puts the operands of entry `i` on a list: a walk makes no list an entry. */
  pushOperands(i: number, list: number[]): void {
    const { first: a, second: b, third: c } = this;
    const count = OPERANDS[this.operations[i]!]!;
    if (count === SOLVED) {
      const { from, to, low, high } = detailAs(this.detailOf.get(i), 'unknown');
      if (low) list.push(low, high);
      for (let k = from; k < to; k++) list.push(k);
      return;
    }
    if (count > 0 && a[i]!) list.push(a[i]!);
    if (count > 1 && b[i]!) list.push(b[i]!);
    if (count > 2 && c[i]!) list.push(c[i]!);
  }

  /**
   * The entries below `roots` in order of calculation, each once, as far as `follow` leads, which puts on a list what
   * an entry is reached
   * through; without recursion, so that no chain is too long.
   */
  orderBelow(roots: readonly number[], follow: (entry: number, list: number[]) => void): number[] {
    if (this.visits.length < this.top) this.visits = new Int32Array(this.operations.length);
    const { visits } = this;
    this.visit += 2;
    const [opened, done] = [this.visit, this.visit + 1];
    const order: number[] = [];
    const stack = [...roots];
    visits[0] = done;
    while (stack.length > 0) {
      const i = stack[stack.length - 1]!;
      if (visits[i]! < opened) {
        visits[i] = opened;
        const below = stack.length;
        follow(i, stack);
        if (stack.length > below) continue;
      }
      stack.pop();
      if (visits[i] === done) continue;
      visits[i] = done;
      order.push(i);
    }
    return order;
  }

  tableOf(i: number): TableData {
    return this.tables[this.third[i]!]!;
  }

  /** Runs what depends on the unknown again for each trial of it, then leaves it as for the unknown's first value. */
  solve(i: number, solver: (f: (x: number) => number, low: number, high: number) => number): number {
    const { parameter, body, result, low, high } = detailAs(this.detailOf.get(i), 'unknown');
    const rest = this.numbers[parameter]!;
    const f = (x: number): number => {
      this.numbers[parameter] = x;
      for (let k = 0; k < body.length;) {
        const start = body[k]!;
        let end = start + 1;
        while (++k < body.length && body[k] === end) end++;
        this.run(start, end);
      }
      return this.numbers[result]!;
    };
    const answer = solver(f, low ? this.numbers[low]! : NaN, high ? this.numbers[high]! : NaN);
    f(rest);
    return answer;
  }
}

/** The content of an array in a larger one. */
export function enlarged<T extends Uint8Array | Int32Array | Float64Array>(old: T, made: T): T {
  made.set(old as never);
  return made;
}
