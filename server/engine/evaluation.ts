/**
 * One evaluation of a project: a cell for every value, check, condition and text, in one configuration. Incremental: an
 * edit marks what
 * it touched, cells run in order of rank, and propagation stops where a result is the same to the bit.
 */
import { compact, OverBudget } from '../base/index.js';
import type { Declaration, Item, TextItem, ValueItem } from '../model/declaration.js';
import { walk, type Expression } from '../model/expression.js';
import { isConfined, type Entity, type Namespace, type NamespaceChange } from '../model/namespace.js';
import { declareUnit, DIMENSIONLESS, isUnit, parseUnit, toSI, type Unit } from '../units/index.js';
import { Arena } from './arena.js';
import { ATTRIBUTES } from './attributes.js';
import { Builder } from './builder.js';
import {
  calculateUncalled,
  calculateValue,
  eachCell,
  mayHold,
  readsNothingObvious,
  type VisitCell,
} from './calculations.js';
import {
  Cell,
  grow,
  isAttribute,
  isNeeded,
  isWithin,
  looksInto,
  NO_BINDERS,
  NO_CALLS,
  NO_CELLS,
  NO_ENTITIES,
  NO_GUARDS,
  NO_NAMES,
  NO_OUTPUTS,
  NO_PROBLEMS,
  NO_READS,
  placeOfCell,
  push,
  rankOver,
  SlotOwner,
  State,
  type CellHome,
  type Cycle,
  type CellItem,
} from './cell.js';
import { samePlan, type CheckPlan } from './check.js';
import { cycleThrough, raiseUsers } from './cycles.js';
import { Elaborator, MOST_STEPS } from './elaborate.js';
import type { Environment, Host, Problem } from './elaboration.js';
import { fieldTakes } from './fields.js';
import { NameUsers } from './name-users.js';
import { Op } from './operations.js';
import { Abandoned } from './proof/search.js';
import { WorstCases } from './worst-case.js';
import { mapNodes, sameShape, type DataRows, type Reason, type Value } from './value.js';

/** Where the numbers of data files come from, and who is told of what fails in us. */
export interface DataSource {
  /** Rows of the file of a `table` or `results` block, or why there are none; the same object while nothing changed. */
  rows(entity: Entity): DataRows;
  onDefect(what: string, error: unknown): void;
}
/** What the last update did; tests assert on it. */
export interface UpdateLog {
  readonly elaborated: string[];
  readonly ran: string[];
}

export type Overrides = ReadonlyMap<Entity, ReadonlyMap<string, { readonly item: ValueItem; readonly scope: Entity }>>;

const NO_OVERRIDES: Overrides = new Map();

/** Begins the name under which a cell looks up the rows of a data file. */
const ROWS_OF = '*rows ';

/**
 * The values of one model. A configuration is an evaluation over that of the base model: it has cells of its own for
 * what its overrides
 * reach, and shares all others, and the arena, with the base.
 */
export class Evaluation implements Host, CellHome {
  readonly arena: Arena;
  private readonly cells = new Map<Entity, Map<string, Cell>>();
  /** What each block was declared as when its cells were brought in line. */
  private readonly declarations = new WeakMap<Entity, Declaration>();
  private readonly nameUsers = new NameUsers(() => this.ownCells());
  private queue: Cell[][] = [];
  private lowest = 0;
  private current: Cell | null = null;
  private overrides = NO_OVERRIDES;
  /** Cells of the base that the overrides reach. */
  private reached: ReadonlySet<Cell> = NO_CELLS;
  /** Cells that something asked for before there was an item for them, since the last update. */
  private readonly late = new Set<Cell>();
  private declaredUnits = new Map<string, Unit>();
  log: UpdateLog = { elaborated: [], ran: [] };
  logging = false;
  /** Cells whose result may differ since `takeTouched` was last called. */
  private touched = new Set<Cell>();
  readonly readings: WorstCases;

  constructor(
    readonly namespace: Namespace,
    readonly library: Namespace,
    private readonly data: DataSource,
    readonly configuration: string | null = null,
    private readonly base: Evaluation | null = null,
  ) {
    this.arena = base?.arena ?? new Arena();
    this.readings = base?.readings ?? new WorstCases(this.arena, error => data.onDefect('a worst case', error));
    this.arena.readings = this.readings;
  }

  get units(): ReadonlyMap<string, Unit> {
    return this.declaredUnits;
  }

  // ---- reading results ----------------------------------------------------------------------------------------------

  cell(entity: Entity, name: string): Cell | undefined {
    return this.cells.get(entity)?.get(name) ?? this.base?.cell(entity, name);
  }

  *cellsOf(entity: Entity): Iterable<Cell> {
    const own = this.cells.get(entity);
    if (own) yield* own.values();
    if (this.base) for (const cell of this.base.cellsOf(entity)) if (!own?.has(cell.name)) yield cell;
  }

  private *ownCells(): Iterable<Cell> {
    for (const cells of this.cells.values()) yield* cells.values();
  }

  *allCells(): Iterable<Cell> {
    yield* this.ownCells();
    if (this.base) for (const cell of this.base.allCells()) if (this.shares(cell)) yield cell;
  }

  /** Whether a cell of the base counts here too. */
  private shares(cell: Cell): boolean {
    return this.cells.get(cell.entity)?.has(cell.name) !== true;
  }

  valueOf(entity: Entity, name: string): Value | undefined {
    return this.cell(entity, name)?.value;
  }

  number(node: number): number {
    return this.arena.values[node]!;
  }

  /** SI value of a number as written, a temperature read as a difference; null where its unit is unknown. */
  literal(e: { readonly text: string; readonly unitText: string | null }): number | null {
    if (e.unitText === null) return Number(e.text);
    const unit = parseUnit(e.unitText, this.declaredUnits);
    return isUnit(unit) ? toSI(unit, e.text, { difference: true }) : null;
  }

  /** Whether a number is a probability, which ranks apart from margins. */
  isProbability(node: number): boolean {
    let at = node;
    while (this.arena.op[at] === Op.Slot && this.arena.a[at]) at = this.arena.a[at]!;
    const detail = this.arena.details.get(at);
    return detail?.kind === 'reason' && detail.data['name'] === 'probability';
  }

  /**
   * Elaborates an expression of an item once, outside every cell, with names bound: for terms such as `accepts margin
   * >= -0.05`.
   */
  truthWith(item: Item, expression: Expression, scope: Entity, bound: Environment | null): boolean | null {
    return this.outside(() => {
      const elaborator = new Elaborator(this, new Builder(this.arena), item, scope);
      const value = elaborator.expression(expression, bound);
      if (value.kind !== 'truth') return null;
      const number = elaborator.builder.value(value.node);
      return number !== number ? null : number === 1;
    });
  }

  /** Runs `work` as no cell's elaboration: what it reads is not followed. */
  outside<T>(work: () => T): T {
    const outer = this.current;
    this.current = null;
    try {
      return work();
    } finally {
      this.current = outer;
    }
  }

  /** Cells whose result may differ since they were last taken; those of the base count until it is asked itself. */
  takeTouched(): Set<Cell> {
    const touched = this.touched;
    this.touched = new Set();
    if (this.base) for (const cell of this.base.touched) if (this.shares(cell)) touched.add(cell);
    return touched;
  }

  /** Gives back what a configuration took of the base that it stood on. */
  dispose(): void {
    for (const entity of [...this.cells.keys()]) this.dropEntity(entity);
  }

  // ---- updates ------------------------------------------------------------------------------------------------------

  /** Brings cells in line with the namespace after `change` and calculates. The base comes before what stands on it. */
  update(change: NamespaceChange, overrides: Overrides = NO_OVERRIDES, dataChanged: readonly Entity[] = []): void {
    this.log = { elaborated: [], ran: [] };
    this.late.clear();
    this.setOverrides(overrides);
    this.refreshUnits();
    for (const entity of change.removed) this.dropEntity(entity);
    if (this.base) this.followReach(this.base);
    for (const entity of change.touched)
      if (!change.removed.includes(entity) && entity.contenders.length > 0) this.syncEntity(entity);
    if (change.touched.size > 0 || change.rootTouched || change.names.size > 0) this.syncEntity(this.namespace.root);
    if (this.elaborations > 0) this.markNameUsers(change, dataChanged);
    this.calculate();
  }

  /** Marks what looked up a name that now may stand for something else. */
  private markNameUsers(change: NamespaceChange, dataChanged: readonly Entity[]): void {
    for (const name of change.names) for (const cell of this.nameUsers.of(name)) this.mark(cell, State.Elaborate);
    for (const [name, entities] of change.fields)
      for (const cell of this.nameUsers.of(name)) if (looksInto(cell, entities)) this.mark(cell, State.Elaborate);
    for (const formula of change.formulas)
      for (const cell of this.nameUsers.of(formula.name)) if (mayHold(cell, formula)) this.mark(cell, State.Elaborate);
    for (const entity of dataChanged) {
      for (const cell of this.nameUsers.of(ROWS_OF + entity.key)) this.mark(cell, State.Elaborate);
    }
  }

  /** Makes cells for what the overrides reach now and did not before, and lets go of the others. */
  private followReach(base: Evaluation): void {
    const before = this.reached;
    this.reached = base.reachOf(this.overrides);
    const moved = new Set<Entity>();
    for (const cell of before) if (!this.reached.has(cell)) moved.add(cell.entity);
    for (const cell of this.reached) {
      if (before.has(cell)) continue;
      moved.add(cell.entity);
      for (const user of cell.users) if (user.home === this) this.mark(user, State.Elaborate);
    }
    for (const entity of moved)
      if (entity.contenders.length > 0 || entity === this.namespace.root) this.syncEntity(entity);
  }

  /** What reads a value that is overridden, directly or through others. */
  private reachOf(overrides: Overrides): ReadonlySet<Cell> {
    const reached = new Set<Cell>();
    for (const [entity, names] of overrides) {
      for (const name of names.keys()) {
        const cell = this.cells.get(entity)?.get(name);
        if (cell) reached.add(cell);
        // A name that the model lacks: whoever looked for it may find it there.
        if (!entity.values.has(name)) for (const user of this.nameUsers.of(name)) reached.add(user);
      }
    }
    for (const cell of reached) for (const user of cell.users) if (user.home === this) reached.add(user);
    return reached;
  }

  /** Whether the overrides reach a cell of the base, also one that was made since they were followed. */
  private reaches(cell: Cell): boolean {
    const { late } = this.base!;
    if (this.reached.has(cell) || !late.has(cell)) return this.reached.has(cell);
    const way = new Set([cell]);
    for (const at of way) {
      for (const read of at.reads) {
        if (this.reached.has(read)) return true;
        if (late.has(read)) way.add(read);
      }
    }
    return false;
  }

  private setOverrides(overrides: Overrides): void {
    const before = this.overrides;
    this.overrides = overrides;
    for (const [entity, names] of [...before, ...overrides]) {
      for (const name of names.keys()) {
        const [old, next] = [before.get(entity)?.get(name), overrides.get(entity)?.get(name)];
        if (old?.item === next?.item && old?.item.hash === next?.item.hash) continue;
        if (entity.contenders.length > 0) this.syncEntity(entity);
        for (const cell of this.nameUsers.of(name)) this.mark(cell, State.Elaborate);
      }
    }
  }

  private refreshUnits(): void {
    const next = this.base?.declaredUnits ?? this.readUnits();
    if (next === this.declaredUnits) return;
    this.declaredUnits = next;
    for (const cell of this.nameUsers.of('*unit')) this.mark(cell, State.Elaborate);
  }

  /** Units that the project declares; the same object while they stay the same. */
  private readUnits(): Map<string, Unit> {
    const items = [...this.namespace.root.values.values()].filter(item => item.kind === 'unit');
    const next = new Map<string, Unit>();
    for (const item of items) {
      if (item.value.kind !== 'number' || item.value.unitText === null) continue;
      const of = parseUnit(item.value.unitText, next);
      const unit = isUnit(of) ? declareUnit(item.name, item.value.text, of) : undefined;
      if (unit) next.set(item.name, unit);
    }
    const same =
      next.size === this.declaredUnits.size &&
      [...next].every(
        ([name, unit]) =>
          this.declaredUnits.get(name)?.factor === unit.factor &&
          this.declaredUnits.get(name)?.dimension === unit.dimension,
      );
    return same ? this.declaredUnits : next;
  }

  private dropEntity(entity: Entity): void {
    for (const cell of this.cells.get(entity)?.values() ?? []) this.dropCell(cell);
    this.cells.delete(entity);
  }

  private dropCell(cell: Cell): void {
    this.dissolve(cell);
    cell.removed = true;
    this.unlink(cell);
    if (cell.calculate === calculateUncalled) this.formulas.delete(cell.item as ValueItem);
    for (const user of cell.users) this.mark(user, State.Elaborate);
    this.arena.free(cell.start, cell.end - cell.start);
    for (const slot of cell.outputs) this.arena.free(slot, 1);
    this.touched.delete(cell);
    const shared = this.base?.cell(cell.entity, cell.name);
    if (shared) this.touched.add(shared);
  }

  /** Makes the cells that an entity's items ask for and drops the others. */
  private syncEntity(entity: Entity): void {
    const cells = this.cells.get(entity) ?? new Map<string, Cell>();
    this.cells.set(entity, cells);
    const isRedeclared = this.declarations.get(entity) !== entity.declaration;
    this.declarations.set(entity, entity.declaration);
    if (cells.size === 0) {
      this.eachOwnCell(
        entity,
        (name, item, scope, calculate) => void this.makeCell(cells, entity, name, item, scope, calculate),
      );
      return;
    }
    const wanted = new Map<string, { item: CellItem; scope: Entity; calculate: Cell['calculate'] }>();
    this.eachOwnCell(entity, (name, item, scope, calculate) => void wanted.set(name, { item, scope, calculate }));
    for (const [name, cell] of cells) {
      const next = wanted.get(name);
      if (!next && isAttribute(cell) && this.holds(entity, name)) {
        if (isRedeclared) this.mark(cell, State.Elaborate);
        continue;
      }
      if (!next || next.calculate !== cell.calculate) {
        this.dropCell(cell);
        cells.delete(name);
      } else if (next.item !== cell.item || next.scope !== cell.scope) {
        if (cell.calculate === calculateUncalled) this.moveFormula(cell, next.item as ValueItem);
        cell.item = next.item;
        cell.scope = next.scope;
        this.mark(cell, State.Elaborate);
        // What is known of a block depends on what is said (maturity, positions) and where, not on the number alone.
        for (const user of cell.users) if (isAttribute(user)) this.mark(user, State.Elaborate);
      }
    }
    for (const [name, { item, scope, calculate }] of wanted)
      if (!cells.has(name)) this.makeCell(cells, entity, name, item, scope, calculate);
  }

  /** The cells that an entity asks for here. */
  private eachOwnCell(entity: Entity, visit: VisitCell): void {
    eachCell(
      this,
      entity,
      this.base
        ? (name, item, scope, calculate) => {
            if (this.holds(entity, name)) visit(name, item, scope, calculate);
          }
        : visit,
    );
  }

  /**
   * Whether a value is this evaluation's own: all are the base's, but for what the overrides of a configuration reach.
   */
  private holds(entity: Entity, name: string): boolean {
    if (!this.base || this.overrides.get(entity)?.has(name)) return true;
    const cell = this.base.cells.get(entity)?.get(name);
    return cell !== undefined && this.reaches(cell);
  }

  private makeCell(
    cells: Map<string, Cell>,
    entity: Entity,
    name: string,
    item: CellItem,
    scope: Entity,
    calculate: Cell['calculate'],
  ): Cell {
    const cell = new Cell(this, entity, name, item, scope, calculate);
    cells.set(name, cell);
    if (calculate === calculateUncalled) this.formulas.set(item as ValueItem, cell);
    this.enqueue(cell);
    return cell;
  }

  mark(cell: Cell, state: State): void {
    if (cell.home !== this) return cell.home.mark(cell, state);
    if (cell.removed) return;
    this.dissolve(cell);
    if (cell.state >= state) return;
    const queued = cell.state !== State.Clean;
    cell.state = state;
    if (!queued) this.enqueue(cell);
  }

  touch(cell: Cell): void {
    this.touched.add(cell);
  }

  private enqueue(cell: Cell): void {
    if (cell.calculate === calculateUncalled) {
      this.rechecked.add(cell);
      return;
    }
    const { rank } = cell;
    (this.queue[rank] ??= []).push(cell);
    if (rank < this.lowest) this.lowest = rank;
  }

  /** Settles everything that is queued, lowest rank first. */
  private calculate(): void {
    this.settleQueue();
    this.settleFormulas();
    this.settleQueue();
  }

  private settleQueue(): void {
    this.lowest = 0;
    while (this.lowest < this.queue.length) {
      const bucket = this.queue[this.lowest];
      if (!bucket || bucket.length === 0) {
        this.lowest++;
        continue;
      }
      const rank = this.lowest;
      this.queue[rank] = [];
      for (const cell of bucket) {
        if (cell.removed || cell.state === State.Clean) continue;
        if (cell.rank > rank) this.enqueue(cell);
        else this.settle(cell);
      }
    }
    this.queue = [];
    this.lowest = 0;
  }

  /** Runs the code of every cell again, in order of rank: what an incremental result is held against. */
  recalculate(): void {
    if (!this.ordered || this.ordered.stamp !== this.elaborations)
      this.ordered = {
        stamp: this.elaborations,
        cells: [...this.allCells()].filter(cell => cell.end > cell.code).sort((x, y) => x.rank - y.rank),
      };
    const { arena } = this;
    const { values, a } = arena;
    for (const { code, end, outputs } of this.ordered.cells) {
      arena.run(code, end);
      for (let i = 0; i < outputs.length; i++) values[outputs[i]!] = values[a[outputs[i]!]!]!;
    }
  }

  private ordered: { stamp: number; cells: Cell[] } | null = null;
  private elaborations = 0;

  /** Tries another number for a value and lets all that reads it follow; its text stays as it is. */
  poke(cell: Cell, value: number): void {
    const definition = this.arena.a[cell.outputs[0]!]!;
    this.arena.values[definition] = value;
    this.publishNumbers(cell);
    this.calculate();
  }

  // ---- settling -----------------------------------------------------------------------------------------------------

  /**
   * Brings one cell up to date. What it obviously reads comes first, from a stack of its own, so that long chains need
   * no recursion.
   */
  settle(cell: Cell): void {
    if (cell.state === State.Run) return this.run(cell);
    if (cell.state === State.Elaborate && !cell.busy && !cell.removed && readsNothingObvious(cell))
      return this.elaborate(cell);
    const stack: Cell[] = [cell];
    const opened = new Set<Cell>();
    while (stack.length > 0) {
      const top = stack[stack.length - 1]!;
      if (top.state === State.Clean || top.busy || top.removed) {
        stack.pop();
        continue;
      }
      if (top.state === State.Run) {
        stack.pop();
        this.run(top);
        continue;
      }
      if (!opened.has(top)) {
        opened.add(top);
        for (const next of this.obviousReads(top))
          if (next.state === State.Elaborate && !next.busy && !opened.has(next)) stack.push(next);
        if (stack[stack.length - 1] !== top) continue;
      }
      stack.pop();
      this.elaborate(top);
    }
  }

  private obviousReads(cell: Cell): Cell[] {
    if (readsNothingObvious(cell)) return [];
    const found: Cell[] = [];
    walk((cell.item as ValueItem).value, node => {
      if (node.kind !== 'name') return;
      for (let at: Entity | null = cell.scope; at; at = at.parent) {
        const here = this.cells.get(at)?.get(node.name);
        if (here) {
          if (here !== cell) found.push(here);
          return;
        }
      }
    });
    return found;
  }

  private run(cell: Cell): void {
    for (const read of cell.reads) if (read.state !== State.Clean && !read.busy) read.home.settle(read);
    // What it reads may have changed its structure while it was settled.
    if ((cell.state as State) === State.Elaborate) return this.settle(cell);
    const { arena } = this;
    arena.run(cell.code, cell.end);
    cell.state = State.Clean;
    if (this.logging) this.log.ran.push(cell.key);
    if (cell.demanded !== null) {
      for (const [node, value] of cell.demanded) {
        if (!Object.is(arena.values[node], value)) {
          cell.state = State.Elaborate;
          return this.settle(cell);
        }
      }
      if (cell.steady !== this.isSteady(cell)) {
        cell.state = State.Elaborate;
        return this.settle(cell);
      }
    }
    this.touched.add(cell);
    cell.revision++;
    this.publishNumbers(cell);
  }

  /** A toleranced number may have kept its middle while its ends moved, so it is never taken for the same. */
  private publishNumbers(cell: Cell): void {
    const { values, a, tolerant } = this.arena;
    let changed = false;
    for (const slot of cell.outputs) {
      const next = values[a[slot]!]!;
      const old = values[slot]!;
      if (tolerant[slot] === 0 && (next === old || (next !== next && old !== old))) continue;
      values[slot] = next;
      changed = true;
    }
    if (changed) for (const user of cell.users) this.mark(user, State.Run);
  }

  private elaborate(cell: Cell): void {
    if (this.logging) this.log.elaborated.push(cell.key);
    this.elaborations++;
    const before = {
      reads: cell.reads,
      names: cell.names,
      calls: cell.calls,
      demands: demandsOf(cell),
      plan: cell.plan,
      results: cell.outputs.map(slot => this.arena.a[slot]!),
    };
    this.unlink(cell);
    const oldStart = cell.start;
    const oldCount = cell.end - cell.start;
    if (this.elaborateNumber(cell)) {
      if (before.reads.length > 0 || before.names.length > 0) this.moveFoundation(cell);
      this.arena.free(oldStart, oldCount);
      return;
    }
    const builder = this.builders.pop() ?? new Builder(this.arena);
    const outer = this.current;
    this.current = cell;
    cell.busy = true;
    cell.demanded = null;
    const item = (cell.item ?? ATTRIBUTE_ITEM) as Item;
    const elaborator = new Elaborator(this, builder, item, cell.scope);
    let value: Value;
    try {
      value = cell.calculate(elaborator, cell);
    } catch (error) {
      value = this.undeterminedFor(error, elaborator, cell);
      cell.plan = null;
    } finally {
      cell.busy = false;
      this.current = outer;
    }
    this.finish(cell, builder, elaborator, value);
    if (
      cell.reads.length !== before.reads.length ||
      before.reads.some(read => !read.users.has(cell)) ||
      before.names.join() !== cell.names.join() ||
      before.calls.some((item, i) => item !== cell.calls[i]) ||
      before.demands !== demandsOf(cell) ||
      !this.sameCode(oldStart, oldCount, before, cell)
    )
      this.moveFoundation(cell);
    this.arena.free(oldStart, oldCount);
    builder.clear();
    this.builders.push(builder);
  }

  /** What an item comes to that is too deep, asks for too much, or on which we fail. */
  private undeterminedFor(error: unknown, elaborator: Elaborator, cell: Cell): Value {
    if (error instanceof Abandoned) throw error;
    elaborator.item = elaborator.root;
    if (error instanceof OverBudget)
      return elaborator.problem('too-much-work', 0, { most: MOST_STEPS.toLocaleString('en-US') });
    if (error instanceof RangeError) return elaborator.problem('expression-too-deep', 0);
    this.data.onDefect(cell.key, error);
    return elaborator.problem('defect', 0, { what: cell.key });
  }

  /** Says of a check that we fail on it, and lets the others be judged. Throws where its work became pointless. */
  undecided(error: unknown, cell: Cell): Reason {
    if (error instanceof Abandoned) throw error;
    this.data.onDefect(cell.key, error);
    return { code: 'defect', data: { what: cell.key }, place: placeOfCell(cell) };
  }

  /** Most values are a number with a unit of the tables: they need no elaboration. */
  private elaborateNumber(cell: Cell): boolean {
    const item = cell.item;
    if (cell.calculate !== calculateValue || !item || !('annotations' in item) || item.kind === 'check') return false;
    const { value, annotations, type } = item as ValueItem;
    if (value.kind !== 'number' || type || annotations.anyDirection) return false;
    const unit = value.unitText === null ? null : parseUnit(value.unitText);
    if (unit !== null && !isUnit(unit)) return false;
    const number = unit ? toSI(unit, value.text) : Number(value.text);
    if (!Number.isFinite(number)) return false;
    if (
      (item.kind === 'field' || item.kind === 'override') &&
      !fieldTakes(cell.entity.kind, cell.name, unit?.dimension ?? DIMENSIONLESS, unit?.isPoint ?? false)
    )
      return false;
    const { arena } = this;
    const node = arena.allocate(1);
    arena.op[node] = Op.Constant;
    arena.values[node] = number;
    arena.tolerant[node] = 0;
    cell.demanded = null;
    this.conclude(
      cell,
      { start: node, code: node + 1, end: node + 1 },
      NO_PROBLEMS,
      { kind: 'quantity', node, dimension: unit?.dimension ?? DIMENSIONLESS, point: unit?.isPoint ?? false, unit },
      same => same,
    );
    return true;
  }

  /** Whether a cell's new code is its old code but for the numbers in it, with the same entries for its results. */
  private sameCode(
    oldStart: number,
    oldCount: number,
    before: { readonly plan: CheckPlan | null; readonly results: readonly number[] },
    cell: Cell,
  ): boolean {
    if (cell.end - cell.start !== oldCount) return false;
    const { op, a, b, c } = this.arena;
    const same = (x: number, y: number): boolean =>
      (x >= oldStart && x < oldStart + oldCount ? x - oldStart + cell.start : x) === y;
    if (
      before.results.length !== cell.outputs.length ||
      before.results.some((entry, i) => !same(entry, this.arena.a[cell.outputs[i]!]!))
    )
      return false;
    if (!samePlan(before.plan, cell.plan, same)) return false;
    for (let i = 0; i < oldCount; i++) {
      const [was, is] = [oldStart + i, cell.start + i];
      if (op[was] !== op[is] || !same(a[was]!, a[is]!) || !same(b[was]!, b[is]!) || !same(c[was]!, c[is]!))
        return false;
    }
    return true;
  }

  /**
   * What a cell rests on is something else now: all that reads it rests on that too, though no number may have moved.
   */
  private moveFoundation(cell: Cell): void {
    cell.foundation++;
    if (cell.structure > 1) this.touchDownstream(cell);
  }

  /** Builders that no elaboration is using. */
  private readonly builders: Builder[] = [];

  private finish(cell: Cell, builder: Builder, elaborator: Elaborator, value: Value): void {
    const { arena } = this;
    // Conditions make their truth only when it is asked for: what a result holds is asked for now.
    mapNodes(value, node => node);
    const { pending } = builder;
    const { relocate, ...range } = builder.finish();
    cell.guarded =
      elaborator.guarded.length === 0
        ? NO_GUARDS
        : elaborator.guarded.map(guard => ({ ...guard, node: relocate(guard.node) }));
    cell.usedBinders = elaborator.usedBinders.size === 0 ? NO_BINDERS : elaborator.usedBinders;
    if (cell.demanded)
      cell.demanded = new Map(
        [...(cell.demanded as Map<number, number>)].map(([node, number]) => [relocate(node), number]),
      );
    if (cell.plan) cell.plan = cell.plan.relocated(relocate);
    if (pending || hasReadings(arena, range.code, range.end)) arena.run(range.code, range.end);
    cell.steady = this.isSteady(cell);
    if (!cell.steady && cell.plan) cell.plan = cell.plan.undetermined(UNSTEADY);
    this.conclude(
      cell,
      range,
      elaborator.problems,
      cell.steady ? value : { kind: 'poison', reason: UNSTEADY },
      relocate,
    );
  }

  /** Whether what its structure depends on is the same over everything that varies. */
  private isSteady(cell: Cell): boolean {
    for (const node of cell.demanded?.keys() ?? []) if (!this.readings.isSteady(node)) return false;
    return true;
  }

  /** Takes over a cell's new code and result, and marks what reads it. */
  private conclude(
    cell: Cell,
    { start, code, end }: { readonly start: number; readonly code: number; readonly end: number },
    problems: readonly Problem[],
    value: Value,
    relocate: (node: number) => number,
  ): void {
    const { arena } = this;
    // It came to belong to a cycle while it was calculated: only now is all known that it reads.
    for (const member of cell.cycle?.members ?? []) member.cycle = null;
    if (end > code || cell.end > cell.code) cell.recoded++;
    cell.start = start;
    cell.code = code;
    cell.end = end;
    cell.problems = problems.length === 0 ? NO_PROBLEMS : problems;
    const before = cell.value;
    const flags = cell.outputs.map(slot => arena.tolerant[slot]!);
    cell.value = this.publish(cell, value, relocate);
    cell.reads = compact(cell.reads);
    cell.names = compact(cell.names);
    cell.lookedIn = compact(cell.lookedIn);
    cell.calls = compact(cell.calls);
    cell.rank = rankOver(cell.reads);
    const changedFlags = cell.outputs.some((slot, i) => arena.tolerant[slot] !== flags[i]);
    cell.state = State.Clean;
    cell.revision++;
    cell.structure++;
    this.touched.add(cell);
    if (changedFlags || !sameShape(before, cell.value)) {
      for (const user of cell.users) this.mark(user, State.Elaborate);
    } else if (this.numbersChanged) {
      for (const user of cell.users) this.mark(user, State.Run);
    }
    for (const user of cell.users) if (user.repeats.has(cell)) this.mark(user, State.Elaborate);
    if (raiseUsers(cell)) this.closeCycle(cycleThrough(cell));
    if (cell.item !== cell.told && cell.structure > 1) this.touchDownstream(cell);
    cell.told = cell.item;
  }

  /**
   * What is said about a value (basis, `tbc`, source), and where, travels to everything that reads it, though no number
   * moved.
   */
  private touchDownstream(cell: Cell): void {
    const work = [cell];
    const seen = new Set(work);
    while (work.length > 0) {
      const at = work.pop()!;
      at.home.touch(at);
      at.foundation++;
      for (const user of at.users) {
        if (seen.has(user)) continue;
        seen.add(user);
        work.push(user);
      }
    }
  }

  private numbersChanged = false;

  /** Where a formula is written. */
  ownerOf(formula: ValueItem): Entity {
    return (this.base ?? this).formulas.get(formula)?.entity ?? this.library.root;
  }

  /** Blocks of data files whose rows a cell reads. */
  *dataReadBy(cell: Cell): Iterable<Entity> {
    for (const name of cell.names) {
      const entity = name.startsWith(ROWS_OF) ? this.namespace.entities.get(name.slice(ROWS_OF.length)) : undefined;
      if (entity) yield entity;
    }
  }

  /** Gives every number of a result a slot that stays, so that users' code stays valid. */
  private publish(cell: Cell, value: Value, relocate: (node: number) => number): Value {
    const { arena } = this;
    const old = cell.outputs;
    const outputs: number[] = [];
    this.numbersChanged = false;
    const published = mapNodes(value, (node, _owner, path) => {
      const definition = relocate(node);
      const index = outputs.length;
      const slot = old[index] ?? arena.allocate(1);
      outputs.push(slot);
      arena.op[slot] = Op.Slot;
      arena.a[slot] = definition;
      arena.b[slot] = 0;
      arena.c[slot] = 0;
      arena.tolerant[slot] = arena.tolerant[definition]!;
      if (index >= old.length || arena.tolerant[slot] !== 0 || !Object.is(arena.values[slot], arena.values[definition]))
        this.numbersChanged = true;
      arena.values[slot] = arena.values[definition]!;
      arena.details.set(slot, { kind: 'slot', owner: path.length === 0 ? cell : new SlotOwner(cell, path) });
      return slot;
    });
    for (const slot of old.slice(outputs.length)) arena.free(slot, 1);
    cell.outputs = compact(outputs);
    return published;
  }

  /** All members of a cycle are undetermined for one reason, whichever of them was calculated first. */
  private closeCycle(cycle: Cycle): void {
    const { arena } = this;
    const members = [...cycle.members];
    const rank = members
      .flatMap(member => [...member.reads])
      .reduce((most, read) => (cycle.members.has(read) ? most : Math.max(most, read.rank + 1)), 0);
    for (const member of members) {
      arena.free(member.start, member.end - member.start);
      for (const slot of member.outputs) arena.free(slot, 1);
      member.recoded++;
      member.start = member.code = member.end = 0;
      member.outputs = NO_OUTPUTS;
      member.plan = null;
      member.guarded = NO_GUARDS;
      member.demanded = null;
      member.value = { kind: 'poison', reason: cycle.reason };
      member.problems = [{ code: 'cycle', place: placeOfCell(member) ?? cycle.reason.place!, data: cycle.reason.data }];
      member.cycle = cycle;
      member.rank = rank;
      member.state = State.Clean;
      member.revision++;
      member.structure++;
      member.home.touch(member);
    }
    for (const member of members)
      for (const user of member.users) if (!cycle.members.has(user)) this.mark(user, State.Elaborate);
    raiseUsers(members[0]!);
  }

  /** What belongs to a cycle is calculated anew, all of it, once one of them is. */
  private dissolve(cell: Cell): void {
    const { cycle } = cell;
    if (!cycle) return;
    for (const member of cycle.members) member.cycle = null;
    for (const member of cycle.members) if (member !== cell) member.home.mark(member, State.Elaborate);
    if (!cell.removed) cell.home.mark(cell, State.Elaborate);
  }

  private unlink(cell: Cell): void {
    for (const read of cell.reads) {
      (read.users as Set<Cell>).delete(cell);
      if (isAttribute(read) && !isNeeded(read)) this.touchAttributes(read);
    }
    cell.reads = NO_READS;
    cell.repeats = NO_CELLS;
    for (const name of cell.names) this.nameUsers.delete(name, cell);
    cell.names = NO_NAMES;
    cell.lookedIn = NO_ENTITIES;
    for (const item of cell.calls) {
      const count = this.callers.get(item)! - 1;
      if (count > 0) this.callers.set(item, count);
      else {
        this.callers.delete(item);
        this.recheck(item);
      }
    }
    cell.calls = NO_CALLS;
  }

  // ---- host of an elaboration ---------------------------------------------------------------------------------------

  itemOf(entity: Entity, name: string): { item: ValueItem; scope: Entity } | undefined {
    const override = this.overrides.get(entity)?.get(name);
    if (override) return override;
    const item = entity.values.get(name);
    return item && { item, scope: entity };
  }

  valueNames(entity: Entity): Iterable<string> {
    const overridden = this.overrides.get(entity);
    return overridden ? new Set([...entity.values.keys(), ...overridden.keys()]) : entity.values.keys();
  }

  read(entity: Entity, item: ValueItem): Value {
    const name =
      entity.declaration.value === item
        ? 'value'
        : item.kind === 'override'
          ? item.path[item.path.length - 1]!
          : item.name;
    return this.follow(this.obtain(entity, name, item, calculateValue));
  }

  attribute(entity: Entity, name: string): Value | undefined {
    const attribute = ATTRIBUTES.get(name);
    if (!attribute || !attribute.kinds.includes(entity.kind)) return undefined;
    return this.follow(this.obtain(entity, `@${name}`, null, elaborator => attribute.calculate(elaborator, entity)));
  }

  /** The cell of a value, made where nothing asked for it before: in the base, unless the overrides reach it. */
  private obtain(entity: Entity, name: string, item: ValueItem | null, calculate: Cell['calculate']): Cell {
    const known = this.cells.get(entity)?.get(name);
    if (known) return known;
    if (this.base && !this.overrides.get(entity)?.has(name)) {
      const shared = this.base.obtain(entity, name, item, calculate);
      if (shared.state !== State.Clean && !shared.busy) this.base.settle(shared);
      if (!this.reaches(shared)) return shared;
    }
    let cells = this.cells.get(entity);
    if (!cells) this.cells.set(entity, (cells = new Map()));
    const cell = this.makeCell(cells, entity, name, item, this.itemOf(entity, name)?.scope ?? entity, calculate);
    this.late.add(cell);
    return cell;
  }

  private follow(cell: Cell): Value {
    const reader = this.current;
    if (!reader) {
      if (cell.state !== State.Clean) cell.home.settle(cell);
      return cell.value;
    }
    if (cell.busy) return this.cycle(cell, reader);
    if (cell.state !== State.Clean) cell.home.settle(cell);
    if (!cell.users.has(reader)) {
      if (isAttribute(cell) && !isNeeded(cell)) this.touchAttributes(cell);
      reader.reads = push(reader.reads, cell);
      cell.users = grow(cell.users, NO_CELLS, reader);
    }
    return cell.value;
  }

  /** What is wrong with an attribute is told once something needs it, and no longer than that. */
  private touchAttributes(cell: Cell): void {
    const work = new Set([cell]);
    for (const at of work) {
      at.home.touch(at);
      for (const read of at.reads) if (isAttribute(read)) work.add(read);
    }
  }

  /** A value that needs itself while it is calculated: that it is one of a cycle is found once the graph is known. */
  private cycle(cell: Cell, reader: Cell): Value {
    if (!cell.users.has(reader)) {
      reader.reads = push(reader.reads, cell);
      cell.users = grow(cell.users, NO_CELLS, reader);
    }
    return { kind: 'poison', reason: { code: 'cycle', data: {}, place: placeOfCell(cell) } };
  }

  calls(item: ValueItem): void {
    const cell = this.current;
    // A formula that is elaborated on its own does not call itself by that.
    if (!cell || cell.item === item || cell.calls.includes(item)) return;
    cell.calls = push(cell.calls, item);
    const count = (this.callers.get(item) ?? 0) + 1;
    this.callers.set(item, count);
    if (count === 1) this.recheck(item);
  }

  /** Formulas by their item, with how many cells call them. One that is called is checked by its calls alone. */
  private readonly formulas = new Map<ValueItem, Cell>();
  private readonly callers = new Map<ValueItem, number>();
  private readonly rechecked = new Set<Cell>();

  private moveFormula(cell: Cell, item: ValueItem): void {
    this.formulas.delete(cell.item as ValueItem);
    this.formulas.set(item, cell);
    this.rechecked.add(cell);
  }

  private recheck(item: ValueItem): void {
    const cell = this.formulas.get(item);
    if (cell && !cell.removed) this.rechecked.add(cell);
  }

  /** Elaborates the formulas that nobody calls, so that their errors are found. */
  private settleFormulas(): void {
    for (const cell of this.rechecked) {
      if (cell.removed) continue;
      if (this.callers.has(cell.item as ValueItem)) {
        this.unlink(cell);
        cell.state = State.Clean;
        cell.problems = [];
        this.touched.add(cell);
      } else if (!cell.busy) this.elaborate(cell);
    }
    this.rechecked.clear();
  }

  looksUp(name: string, from?: Entity): void {
    const cell = this.current;
    if (!cell) return;
    if (from && isConfined(from) && !isWithin(cell.scope, from) && !cell.lookedIn.includes(from))
      cell.lookedIn = push(cell.lookedIn, from);
    if (cell.names.includes(name)) return;
    cell.names = push(cell.names, name);
    this.nameUsers.add(name, cell);
  }

  demands(node: number, value: number): void {
    const cell = this.current;
    if (cell) (cell.demanded ??= new Map()).set(node, value);
  }

  repeats(owner: unknown): void {
    const cell = owner instanceof SlotOwner ? owner.cell : owner;
    if (cell instanceof Cell && this.current) this.current.repeats = new Set([...this.current.repeats, cell]);
  }

  rows(entity: Entity): Value {
    this.looksUp(ROWS_OF + entity.key);
    this.looksUp(entity.name);
    const source = this.data.rows(entity);
    if (!source.ready)
      return {
        kind: 'poison',
        reason: { code: 'data-missing', data: { name: entity.name }, place: { owner: entity.declaration, id: 2 } },
      };
    return { kind: 'rows', source: entity, data: source };
  }
}

/** How many numbers decided the structure of a cell. */
function demandsOf(cell: Cell): number {
  return cell.demanded?.size ?? 0;
}

function hasReadings(arena: Arena, start: number, end: number): boolean {
  for (let i = start; i < end; i++) if (arena.op[i]! >= Op.Low && arena.op[i]! <= Op.RssHigh) return true;
  return false;
}

/** Why a value is undetermined whose structure depends on what varies. */
const UNSTEADY: Reason = {
  code: 'worst-case-not-bounded',
  data: { sources: '', operation: 'a choice, a filter, a count or an index' },
  place: null,
};

/** Stands in for the item of an attribute, which has no text of its own. */
const ATTRIBUTE_ITEM: TextItem = {
  kind: 'text',
  name: 'attribute',
  hash: '',
  spans: [0, 0],
  placement: { file: 'library:attributes', start: 0 },
  segments: [],
};
