/** The entries of an arena below some roots, renumbered: what a proof walks over. */
import { detailAs, type Arena, type Detail } from '../values/arena.js';
import { Op, VARIES_WITH_TOLERANCES } from '../operations/op.js';
import type { TableData } from '../operations/table.js';
import {
  EVERYWHERE,
  HIGH,
  LARGEST_TAPE,
  LOW,
  UNDEFINED,
  VALUE,
  type Unknown,
  type Walks,
} from '../operations/enclosures.js';
import { OPERATIONS, provenAs, runEnclosure, runPoint, runSlopes, type Code } from '../operations/operations.js';

/** What varies on a tape: an entry with the numbers of the arena that bound it. */
export interface TapeSource {
  readonly entry: number;
  /** Entry of the arena that it stands for. */
  readonly origin: number;
  readonly key: string;
  /** Entries of the arena: its value, and how far it goes below and above. Null for one that has its own range. */
  readonly bounds: { readonly nominal: number; readonly below: number; readonly above: number } | null;
  low: number;
  high: number;
  nominal: number;
}

/** Key of the unknown of a reserve where that is a source. */
export const UNKNOWN_KEY = 'unknown';

/** Puts on a tape what is to be proven. */
export interface TapeMaker {
  /** The tape's entry for one of the arena. */
  number(node: number): number;
  /** The same for a condition: at least zero where it holds. */
  truth(node: number): number;
  constant(value: number): number;
  add(op: Op, a: number, b?: number, c?: number): number;
}

/** Beyond this a tape is not made: what it stands for is undetermined. */
export class TapeTooLarge extends Error {}

/** Builds a tape, entry by entry. */
class Recorder {
  readonly op: number[] = [Op.Constant];
  readonly a: number[] = [0];
  readonly b: number[] = [0];
  readonly c: number[] = [0];
  readonly main: number[] = [];
  /** Entries of the tape that hold a number of the arena, or a number of their own. */
  readonly constants: { readonly entry: number; readonly origin: number; readonly value: number }[] = [];
  readonly sources = new Map<string, TapeSource>();
  readonly tables: (TableData | undefined)[] = [];
  readonly unknowns = new Map<number, Unknown>();
  private readonly fixed = new Map<string, number>();
  private readonly fixedEntries = new Set<number>();
  private readonly shared = new Map<string, number>();
  readonly origins = new Map<number, number>();

  /** `list`: the main list, or the body of an unknown. */
  add(op: Op, a: number, b: number, c: number, list: number[], table?: TableData): number {
    const key = table ? '' : `${op} ${a} ${b} ${c}`;
    const known = key ? this.shared.get(key) : undefined;
    if (known !== undefined) return known;
    const entry = this.make(op, a, b, c);
    if (key) this.shared.set(key, entry);
    if (table) this.tables[entry] = table;
    list.push(entry);
    return entry;
  }

  make(op: Op, a = 0, b = 0, c = 0): number {
    const entry = this.op.push(op) - 1;
    if (entry >= LARGEST_TAPE) throw new TapeTooLarge();
    this.a.push(a);
    this.b.push(b);
    this.c.push(c);
    return entry;
  }

  /** A number of the arena that doesn't vary here; a condition is 1 or −1. */
  constant(origin: number, value = NaN): number {
    const key = origin < 0 ? `${value}` : `at ${origin}`;
    const known = this.fixed.get(key);
    if (known !== undefined) return known;
    const entry = this.make(Op.Constant);
    this.constants.push({ entry, origin, value });
    this.fixed.set(key, entry);
    this.fixedEntries.add(entry);
    return entry;
  }

  isConstant(entry: number): boolean {
    return this.fixedEntries.has(entry);
  }
}

/** How entries of an arena are read: what is captured by an extreme, and where that puts them. */
interface Reading {
  readonly numbers: Map<number, number>;
  readonly list: number[];
  /** Marks the sources that an extreme runs over itself, apart from the same ones outside. */
  readonly mark: string;
  /** Whether tolerances stay at their nominal values. */
  readonly nominal: boolean;
  /** Entries that vary with the unknown of a reserve that is a source here. */
  readonly varying: readonly number[];
}

export class Tape implements Code, Walks {
  readonly op: Uint8Array;
  readonly a: Int32Array;
  readonly b: Int32Array;
  readonly c: Int32Array;
  /** Entries in order, without the bodies of unknowns, which have lists of their own. */
  readonly main: Int32Array;
  readonly sources: readonly TapeSource[];
  readonly roots: readonly number[];
  /** Entries of the tape for reserves and the like: where `reserve` stands at the top it is turned inside out. */
  readonly solved: boolean;
  proven: Map<number, readonly [number, number]> | null = null;
  /** Everything that the first root depends on, as long as all sources are free. */
  private allLive: Int32Array | null = null;
  private readonly constants: Recorder['constants'];
  private readonly tables: Recorder['tables'];
  private readonly unknowns: Recorder['unknowns'];
  private readonly inBodies: readonly number[];
  private readonly sourceOf: ReadonlyMap<number, TapeSource>;
  /** Entry of the arena that an entry was made from, for messages. */
  readonly origins: ReadonlyMap<number, number>;

  private constructor(
    private readonly arena: Arena,
    recorder: Recorder,
    roots: readonly number[],
  ) {
    this.op = Uint8Array.from(recorder.op);
    this.a = Int32Array.from(recorder.a);
    this.b = Int32Array.from(recorder.b);
    this.c = Int32Array.from(recorder.c);
    this.main = Int32Array.from(recorder.main);
    this.sources = [...recorder.sources.values()];
    this.roots = roots;
    this.constants = recorder.constants;
    this.tables = recorder.tables;
    this.unknowns = recorder.unknowns;
    this.solved = recorder.unknowns.size > 0;
    this.inBodies = [...recorder.unknowns.values()].flatMap(u => [...u.body, ...u.parameters]);
    this.sourceOf = new Map(this.sources.map(source => [source.entry, source]));
    this.origins = recorder.origins;
  }

  /**
   * A tape of what `finish` makes of entries of the arena. `opened`: the unknown of a reserve that is a source here.
   * Throws `TapeTooLarge`.
   */
  static of(
    arena: Arena,
    finish: (maker: TapeMaker) => readonly number[],
    opened: (Detail & { kind: 'unknown' }) | null = null,
  ): Tape {
    const recorder = new Recorder();
    const reading: Reading = {
      numbers: new Map(),
      list: recorder.main,
      mark: '',
      nominal: false,
      varying: opened?.body ?? [],
    };
    // The unknown of a reserve that is turned inside out is a source like the others.
    if (opened)
      reading.numbers.set(opened.parameter, sourceWithin(recorder, UNKNOWN_KEY, opened.parameter, 0, 1).entry);
    const number = (node: number): number => record(arena, recorder, reading, node);
    const roots = finish({
      number,
      truth: node => truthOf(arena, recorder, number, node),
      constant: value => recorder.constant(-1, value),
      add: (op, a, b = 0, c = 0) => recorder.add(op, a, b, c, recorder.main),
    });
    return new Tape(arena, recorder, roots);
  }

  get size(): number {
    return this.op.length;
  }

  tableOf(entry: number): TableData {
    return this.tables[entry]!;
  }

  isLookup(entry: number): boolean {
    return this.tables[entry] !== undefined;
  }

  unknownOf(entry: number): Unknown {
    return this.unknowns.get(entry)!;
  }

  source(entry: number): TapeSource | undefined {
    return this.sourceOf.get(entry);
  }

  /** What a source of variation is called. */
  nameOf(entry: number): string | null {
    const source = this.sourceOf.get(entry);
    const detail = source && this.arena.details.get(source.origin);
    return detail?.kind === 'source' ? detail.name : null;
  }

  point(entries: Int32Array): void {
    runPoint(this, entries);
  }

  enclose(entries: Int32Array): void {
    runEnclosure(this, entries);
  }

  slopes(entries: Int32Array, leaves: readonly number[], root: number): void {
    runSlopes(this, entries, leaves, root);
  }

  operands(i: number): readonly number[] {
    const u = this.unknowns.get(i);
    return u ? [u.low, u.high, ...u.free] : [this.a[i]!, this.b[i]!, this.c[i]!];
  }

  /** Puts constants and ranges as they are now where the walks read them. */
  load(): void {
    const { arena } = this;
    LOW[0] = HIGH[0] = VALUE[0] = 0;
    UNDEFINED[0] = 0;
    for (const { entry, origin, value } of this.constants) {
      const x = origin < 0 ? value : arena.values[origin]!;
      const known = x === x;
      VALUE[entry] = x;
      LOW[entry] = known ? x : -Infinity;
      HIGH[entry] = known ? x : Infinity;
      UNDEFINED[entry] = known && Number.isFinite(x) ? 0 : EVERYWHERE;
    }
    for (const source of this.sources) {
      const { entry, bounds } = source;
      if (bounds) {
        const nominal = arena.values[bounds.nominal]!;
        source.nominal = nominal;
        source.low = nominal + arena.values[bounds.below]!;
        source.high = nominal + arena.values[bounds.above]!;
      }
      const known = source.low <= source.high && Number.isFinite(source.low) && Number.isFinite(source.high);
      VALUE[entry] = source.nominal;
      LOW[entry] = known ? source.low : -Infinity;
      HIGH[entry] = known ? source.high : Infinity;
      UNDEFINED[entry] = known ? 0 : EVERYWHERE;
    }
    for (const entry of this.inBodies) UNDEFINED[entry] = 0;
    for (const u of this.unknowns.values())
      for (const parameter of u.parameters) {
        const own = this.sourceOf.get(parameter);
        if (!own) VALUE[parameter] = LOW[parameter] = HIGH[parameter] = 0;
      }
  }

  /** Sets sources to one point. */
  pin(at: ReadonlyMap<number, number>): void {
    for (const [i, x] of at) LOW[i] = HIGH[i] = x;
  }

  /** Entries that vary and are not captured by an extreme. */
  freeSources(): number[] {
    const captured = new Set([...this.unknowns.values()].flatMap(u => u.parameters));
    return this.sources.filter(source => !captured.has(source.entry)).map(source => source.entry);
  }

  /** Value of the first root with sources at the given places, the others at their nominal values. */
  valueAt(at: ReadonlyMap<number, number> | null): number {
    this.load();
    if (at) for (const [i, x] of at) VALUE[i] = x;
    this.point(this.main);
    return VALUE[this.roots[0]!]!;
  }

  /** Everything that varies with some source. */
  get all(): Int32Array {
    return (this.allLive ??= this.live(this.freeSources()));
  }

  /** Entries of `main` that depend on one of `leaves`, as far down as `stops`. */
  live(leaves: readonly number[], root = this.roots[0]!, stops: readonly number[] = []): Int32Array {
    const marks = new Uint8Array(this.size);
    const wanted = new Uint8Array(this.size);
    for (const i of leaves) marks[i] = 1;
    for (const i of this.main) if (this.operands(i).some(x => marks[x] === 1)) marks[i] = 1;
    for (const i of stops) marks[i] = 0;
    wanted[root] = 1;
    const list: number[] = [];
    for (let n = this.main.length - 1; n >= 0; n--) {
      const i = this.main[n]!;
      if (!wanted[i] || !marks[i]) continue;
      list.push(i);
      for (const x of this.operands(i)) wanted[x] = 1;
    }
    return Int32Array.from(list.reverse());
  }
}

// ---- Recording ------------------------------------------------------------------------------------------------------

/** Puts what is below an entry of the arena on the tape; gives the tape's entry for it. */
function record(arena: Arena, recorder: Recorder, reading: Reading, root: number): number {
  const inBody = new Set<number>([...reading.numbers.keys(), ...reading.varying]);
  const varies = (entry: number): boolean => arena.tolerant[entry] !== 0 || inBody.has(entry);
  const order = arena.orderBelow(varies(root) ? [root] : [], (entry, list) => {
    if (reading.numbers.has(entry)) return;
    const detail = arena.details.get(entry);
    const op = arena.opAt(entry);
    if (detail?.kind === 'unknown') {
      inBody.add(detail.parameter);
      for (const k of detail.body) inBody.add(k);
      // Operands of the body that vary come first, then the body.
      for (const operand of [detail.low, detail.high, detail.result])
        if (operand && varies(operand)) list.push(operand);
      return;
    }
    if (op === Op.Low || op === Op.High) return;
    for (const operand of arena.operands(entry)) if (varies(operand)) list.push(operand);
  });
  // Entries of the bodies of unknowns, by what they depend on: the parameter of the innermost.
  const numbers = reading.numbers;
  const lists = new Map<number, number[]>();
  const bodyOf = new Map<number, number>();
  for (const entry of order) {
    const detail = arena.details.get(entry);
    if (detail?.kind !== 'unknown') continue;
    for (const k of detail.body) if (!bodyOf.has(k)) bodyOf.set(k, detail.parameter);
    lists.set(detail.parameter, []);
    if (!numbers.has(detail.parameter)) numbers.set(detail.parameter, recorder.make(Op.Parameter));
  }
  const numberOf = (entry: number): number => (entry === 0 ? 0 : (numbers.get(entry) ?? recorder.constant(entry)));
  for (const entry of order) {
    if (numbers.has(entry)) continue;
    const owner = bodyOf.get(entry);
    const list = owner === undefined ? reading.list : lists.get(owner)!;
    const made = recordEntry(arena, recorder, { ...reading, list }, entry, numberOf, lists);
    numbers.set(entry, made);
    if (!recorder.origins.has(made)) recorder.origins.set(made, entry);
  }
  return numberOf(root);
}

function recordEntry(
  arena: Arena,
  recorder: Recorder,
  reading: Reading,
  entry: number,
  numberOf: (entry: number) => number,
  lists: ReadonlyMap<number, number[]>,
): number {
  const op = arena.opAt(entry);
  const [a, b, c] = [arena.a[entry]!, arena.b[entry]!, arena.c[entry]!];
  const { list } = reading;
  switch (op) {
    case Op.Slot:
      return numberOf(a);
    case Op.Copy:
      return arena.tolerant[a]! & VARIES_WITH_TOLERANCES
        ? record(
            arena,
            recorder,
            { numbers: new Map(), list, mark: `${reading.mark}=`, nominal: true, varying: reading.varying },
            a,
          )
        : numberOf(a);
    case Op.Tolerance:
      return recordTolerance(arena, recorder, reading, entry, numberOf);
    case Op.Lookup:
      return recorder.add(op, numberOf(a), 0, 0, list, arena.tableOf(entry));
    case Op.Lookup2:
      return recorder.add(op, numberOf(a), numberOf(b), 0, list, arena.tableOf(entry));
    case Op.Low:
    case Op.High:
      return recordExtreme(arena, recorder, reading, entry);
    case Op.Reserve:
    case Op.Root: {
      const detail = detailAs(arena.details.get(entry), 'unknown');
      const [low, high] = [numberOf(detail.low), numberOf(detail.high)];
      const made = recorder.make(op, low, high);
      const parameter = numberOf(detail.parameter);
      addUnknown(recorder, made, [parameter], numberOf(detail.result), lists.get(detail.parameter)!, low, high);
      list.push(made);
      return made;
    }
    default: {
      const truth = (operand: number): number => truthOf(arena, recorder, numberOf, operand);
      if (op === Op.And || op === Op.Or) return recorder.add(provenAs(op), truth(a), truth(b), 0, list);
      if (op === Op.Not) return recorder.add(provenAs(op), truth(a), 0, 0, list);
      if (op === Op.Select) {
        const branch = isTruth(arena, b) || isTruth(arena, c) ? truth : numberOf;
        return recorder.add(provenAs(op), truth(a), branch(b), branch(c), list);
      }
      const [x, y] = [numberOf(a), numberOf(b)];
      if (x === y && op === Op.Multiply) return recorder.add(Op.Square, x, 0, 0, list);
      // No difference, but no value either where the two have none.
      if (x === y && op === Op.Subtract) return recorder.add(Op.Multiply, x, recorder.constant(-1, 0), 0, list);
      if (x === y && (op === Op.Minimum || op === Op.Maximum)) return x;
      return recorder.add(provenAs(op), x, y, numberOf(c), list);
    }
  }
}

/** Whether an entry of the arena is a condition, 1 or 0. */
export function isTruth(arena: Arena, entry: number): boolean {
  let at = entry;
  while ((arena.op[at] === Op.Slot || arena.op[at] === Op.Copy) && arena.a[at]) at = arena.a[at]!;
  if (arena.op[at] === Op.Select) return isTruth(arena, arena.b[at]!) || isTruth(arena, arena.c[at]!);
  return OPERATIONS[arena.opAt(at)].isTruth === true;
}

/** A condition as the proof reads it: at least zero where it holds. One that is fixed comes as 1 or 0. */
function truthOf(arena: Arena, recorder: Recorder, numberOf: (entry: number) => number, entry: number): number {
  const number = numberOf(entry);
  if (!recorder.isConstant(number) && isTruth(arena, entry)) return number;
  // 1 or 0: less a half it is at least zero where it holds.
  return recorder.add(Op.Subtract, number, recorder.constant(-1, 0.5), 0, recorder.main);
}

function sourceWithin(recorder: Recorder, key: string, origin: number, low: number, high: number): TapeSource {
  const known = recorder.sources.get(key);
  if (known) return known;
  const source: TapeSource = {
    entry: recorder.make(Op.Source),
    origin,
    key,
    bounds: null,
    low,
    high,
    nominal: low <= 0 && high >= 0 ? 0 : low,
  };
  recorder.sources.set(key, source);
  return source;
}

/**
 * A toleranced value: anything between its ends. Where its own value or its deviations vary, it follows them: nominal +
 * share · deviation, with a share between −1 and 1.
 */
function recordTolerance(
  arena: Arena,
  recorder: Recorder,
  reading: Reading,
  entry: number,
  numberOf: (entry: number) => number,
): number {
  const [nominal, below, above] = [arena.a[entry]!, arena.b[entry]!, arena.c[entry]!];
  const detail = detailAs(arena.details.get(entry), 'source');
  if (reading.nominal && !detail.swept) return numberOf(nominal);
  const key = detail.swept ? detail.key : `${detail.key}${reading.mark}`;
  const { list } = reading;
  if ([nominal, below, above].every(operand => arena.tolerant[operand] === 0)) {
    const known = recorder.sources.get(key);
    if (known) return known.entry;
    const source: TapeSource = {
      entry: recorder.make(Op.Source),
      origin: entry,
      key,
      bounds: { nominal, below, above },
      low: NaN,
      high: NaN,
      nominal: NaN,
    };
    recorder.sources.set(key, source);
    return source.entry;
  }
  const share = sourceWithin(recorder, key, entry, -1, 1).entry;
  const zero = recorder.constant(-1, 0);
  const part = (op: Op, deviation: number): number =>
    recorder.add(Op.Multiply, recorder.add(op, share, zero, 0, list), numberOf(deviation), 0, list);
  // Below it is a negative deviation times the negative part of the share, without its sign.
  const lower = recorder.add(Op.Negate, part(Op.Minimum, below), 0, 0, list);
  const moved = recorder.add(Op.Add, lower, part(Op.Maximum, above), 0, list);
  return recorder.add(Op.Add, numberOf(nominal), moved, 0, list);
}

/** `low`, `high` and the extremes of sweeps: what they run over is theirs alone. */
function recordExtreme(arena: Arena, recorder: Recorder, reading: Reading, entry: number): number {
  const detail = arena.details.get(entry);
  const own = detail?.kind === 'extreme' ? detail.sources : null;
  const mark = own ? reading.mark : `${reading.mark}<${entry}`;
  const before = new Set(recorder.sources.keys());
  const list: number[] = [];
  const result = record(
    arena,
    recorder,
    { numbers: new Map(), list, mark, nominal: reading.nominal, varying: reading.varying },
    arena.a[entry]!,
  );
  const parameters = [...recorder.sources.values()]
    .filter(source => (own ? own.includes(source.key) : !before.has(source.key) && isTolerance(arena, source)))
    .map(source => source.entry);
  // What doesn't depend on them belongs to the list around.
  const depends = new Set(parameters);
  const body: number[] = [];
  for (const i of list) {
    const u = recorder.unknowns.get(i);
    const operands = u ? [u.low, u.high, ...u.free] : [recorder.a[i]!, recorder.b[i]!, recorder.c[i]!];
    if (operands.some(operand => depends.has(operand))) {
      depends.add(i);
      body.push(i);
    } else reading.list.push(i);
  }
  if (!depends.has(result)) return result;
  const made = recorder.make(arena.opAt(entry));
  addUnknown(recorder, made, parameters, result, body, 0, 0);
  reading.list.push(made);
  return made;
}

function isTolerance(arena: Arena, source: TapeSource): boolean {
  const detail = arena.details.get(source.origin);
  return detail?.kind === 'source' && !detail.swept;
}

function addUnknown(
  recorder: Recorder,
  made: number,
  parameters: readonly number[],
  result: number,
  body: readonly number[],
  low: number,
  high: number,
): void {
  const own = new Set([...body, ...parameters]);
  const free = new Set<number>();
  const look = (i: number): void => {
    if (i !== 0 && !own.has(i) && !recorder.isConstant(i)) free.add(i);
  };
  for (const i of body) {
    const u = recorder.unknowns.get(i);
    for (const operand of u ? [u.low, u.high, ...u.free] : [recorder.a[i]!, recorder.b[i]!, recorder.c[i]!])
      look(operand);
  }
  look(result);
  recorder.unknowns.set(made, { parameters, result, body: Int32Array.from(body), free: [...free], low, high });
}
