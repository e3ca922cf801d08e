/**
 * One evaluation of a project: a cell for every value, check, condition and text, in one configuration. Incremental: an
 * edit marks what it touched, cells run in order of rank, and propagation stops where a result is the same to the bit.
 */
import { finish } from '../../base/index.js';
import type { Item, ValueItem } from '../../model/declaration.js';
import type { Expression } from '../../model/expression.js';
import { onName, onRows, ON_UNITS, type Dependency } from '../../model/dependency.js';
import type { Entity, Namespace, NamespaceChange } from '../../model/namespace.js';
import { isUnit, parseUnit, toSI } from '../../units/index.js';
import { Arena } from '../values/arena.js';
import { Builder } from '../values/builder.js';
import { Elaborator } from '../elaboration/elaborate.js';
import type { Environment, Host } from '../elaboration/elaboration.js';
import { Op } from '../operations/op.js';
import { Abandoned } from '../proof/search.js';
import type { Reason, Value } from '../values/value.js';
import { WorstCases } from '../proof/worst-case.js';
import { calculateUncalled, mayHold } from './calculations.js';
import { Calculator, type UpdateLog } from './calculator.js';
import { valueKey, type CellKey } from './cell-key.js';
import { looksInto, mark, placeOfCell, State, type Cell, type CellHome } from './cell.js';
import { Cells } from './cells.js';
import { dissolve } from './cycles.js';
import { readDeclaredUnits, type DeclaredUnits } from './declared-units.js';
import { NO_OVERRIDES, Overlay, type Overrides, type ScopedItem } from './overlay.js';
import { Population } from './population.js';
import { Reading, type DataSource } from './reading.js';
import { publishNumbers } from './results.js';
import { Schedule } from './schedule.js';
import { UncalledFormulas } from './uncalled-formulas.js';
import { Workload } from './workload.js';

/**
 * The values of one model. A configuration is an evaluation over that of the base model: it has cells of its own for
 * what its overrides reach, and shares all others, and the arena, with the base.
 */
export class Evaluation implements CellHome {
  readonly arena: Arena;
  readonly readings: WorstCases;
  private readonly workload: Workload;
  private readonly cells = new Cells();
  private readonly formulas = new UncalledFormulas();
  private readonly schedule = new Schedule(cell => this.settle(cell));
  private readonly overlay: Overlay | null;
  private readonly reading: Reading;
  private readonly population: Population;
  private readonly calculator: Calculator;
  /** Cells whose result may differ since `takeTouched` was last called. */
  private touched = new Set<Cell>();
  private ordered: { readonly elaborations: number; readonly cells: readonly Cell[] } | null = null;

  constructor(
    readonly namespace: Namespace,
    readonly library: Namespace,
    private readonly data: DataSource,
    readonly configuration: string | null = null,
    private readonly base: Evaluation | null = null,
  ) {
    const { cells, formulas } = this;
    this.arena = base?.arena ?? new Arena();
    this.readings = base?.readings ?? new WorstCases(this.arena, error => data.onDefect('a worst case', error));
    this.arena.readings = this.readings;
    this.workload = base?.workload ?? new Workload();
    this.overlay = base && new Overlay(base.cells);
    this.reading = new Reading({
      namespace,
      library,
      data,
      cells,
      formulas,
      overlay: this.overlay,
      base: base?.reading ?? null,
      makeCell: (...of) => this.population.make(...of),
    });
    this.population = new Population(this, cells, formulas, this.overlay, this.arena, this.workload, this.reading);
    this.calculator = new Calculator(
      this.arena,
      this.readings,
      cells,
      this.workload,
      this.reading,
      cell => this.population.unlink(cell),
      (what, error) => data.onDefect(what, error),
    );
  }

  // ---- reading results ----------------------------------------------------------------------------------------------

  /** For elaborating beside the cells: inside `outside`, nothing that is read is followed. */
  get host(): Host {
    return this.reading;
  }

  get units(): DeclaredUnits {
    return this.reading.units;
  }

  cell(entity: Entity, key: CellKey): Cell | undefined {
    return this.cells.get(entity, key) ?? this.base?.cell(entity, key);
  }

  *cellsOf(entity: Entity): Iterable<Cell> {
    const own = this.cells.of(entity);
    yield* own.values();
    if (this.base) for (const cell of this.base.cellsOf(entity)) if (!own.has(cell.key)) yield cell;
  }

  *allCells(): Iterable<Cell> {
    yield* this.cells;
    if (this.base) for (const cell of this.base.allCells()) if (this.shares(cell)) yield cell;
  }

  /** Whether a cell of the base counts here too. */
  private shares(cell: Cell): boolean {
    return this.cells.get(cell.entity, cell.key) === undefined;
  }

  /** What a cell came to. */
  resultOf(entity: Entity, key: CellKey): Value | undefined {
    return this.cell(entity, key)?.value;
  }

  /** What a value came to, by its name. */
  valueOf(entity: Entity, name: string): Value | undefined {
    return this.resultOf(entity, valueKey(name));
  }

  number(node: number): number {
    return this.arena.values[node]!;
  }

  itemOf(entity: Entity, name: string): ScopedItem | undefined {
    return this.reading.itemOf(entity, name);
  }

  /** What the language knows of a block, `mass` of a part; undefined where it knows no such thing. */
  attribute(entity: Entity, name: string): Value | undefined {
    return this.outside(() => this.reading.attribute(entity, name));
  }

  /** SI value of a number as written, a temperature read as a difference; null where its unit is unknown. */
  literal(e: { readonly text: string; readonly unitText: string | null }): number | null {
    if (e.unitText === null) return Number(e.text);
    const unit = parseUnit(e.unitText, this.units);
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
      const elaborator = new Elaborator(this.reading, new Builder(this.arena), item, scope);
      const value = elaborator.expression(expression, bound);
      if (value.kind !== 'truth') return null;
      const number = elaborator.builder.value(value.node);
      return number !== number ? null : number === 1;
    });
  }

  /** Runs `work` as no cell's elaboration: what it reads is not followed. */
  outside<T>(work: () => T): T {
    return this.reading.for(null, work);
  }

  /** Where a formula is written. */
  ownerOf(formula: ValueItem): Entity {
    return (this.base ?? this).formulas.ownerOf(formula) ?? this.library.root;
  }

  /** Blocks of data files whose rows a cell reads. */
  dataReadBy(cell: Cell): Iterable<Entity> {
    return this.reading.dataReadBy(cell);
  }

  /** Says of a check that we fail on it, and lets the others be judged. Throws where its work became pointless. */
  undecided(error: unknown, cell: Cell): Reason {
    if (error instanceof Abandoned) throw error;
    this.data.onDefect(cell.path, error);
    return { code: 'defect', data: { what: cell.path }, place: placeOfCell(cell) };
  }

  /** Cells whose result may differ since they were last taken; those of the base count until it is asked itself. */
  takeTouched(): Set<Cell> {
    const touched = this.touched;
    this.touched = new Set();
    if (this.base) for (const cell of this.base.touched) if (this.shares(cell)) touched.add(cell);
    return touched;
  }

  // ---- updates ------------------------------------------------------------------------------------------------------

  /** Brings cells in line with the namespace after `change` and calculates. The base comes before what stands on it. */
  update(change: NamespaceChange, overrides: Overrides = NO_OVERRIDES, dataChanged: readonly Entity[] = []): void {
    finish(this.updateSteps(change, overrides, dataChanged));
  }

  /**
   * The same a cell at a time. An update that is given up is made good by a later one that is told of the same changes
   * and of those that came since.
   */
  *updateSteps(
    change: NamespaceChange,
    overrides: Overrides = NO_OVERRIDES,
    dataChanged: readonly Entity[] = [],
  ): Generator<void> {
    if (this.calculator.log) this.startLog();
    this.arena.freeTables();
    this.cells.late.clear();
    this.replaceOverrides(overrides);
    this.refreshUnits();
    for (const entity of change.removed) this.population.dropAll(entity);
    this.followBase();
    for (const entity of change.touched) if (!change.removed.includes(entity)) this.sync(entity);
    if (change.touched.size > 0 || change.rootTouched || change.dependencies.size > 0)
      for (const top of this.namespace.tops) this.sync(top);
    if (this.calculator.elaborations > 0) this.markDependents(change, dataChanged);
    this.workload.retry();
    yield* this.calculate();
  }

  /** Tries another number for a value and lets all that reads it follow; its text stays as it is. */
  poke(cell: Cell, value: number): void {
    this.arena.setValue(this.arena.a[cell.outputs[0]!]!, value);
    publishNumbers(this.arena, cell);
    finish(this.calculate());
  }

  /** Runs the code of every cell again, in order of rank: what an incremental result is held against. */
  recalculate(): void {
    const { arena } = this;
    const { elaborations } = this.calculator;
    if (this.ordered?.elaborations !== elaborations) {
      const cells = [...this.allCells()].filter(cell => cell.end > cell.code).sort((x, y) => x.rank - y.rank);
      this.ordered = { elaborations, cells };
    }
    for (const { code, end, outputs } of this.ordered.cells) {
      arena.run(code, end);
      for (let i = 0; i < outputs.length; i++) arena.refreshSlot(outputs[i]!);
    }
  }

  /** Gives back what a configuration took of the base that it stood on. */
  dispose(): void {
    for (const entity of this.cells.entities) this.population.dropAll(entity);
  }

  /** From now on `log` tells what the last update did. */
  startLog(): void {
    this.calculator.log = { elaborated: [], ran: [] };
  }

  get log(): UpdateLog | null {
    return this.calculator.log;
  }

  private sync(entity: Entity): void {
    if (entity.contenders.length > 0 || this.namespace.tops.includes(entity)) this.population.sync(entity);
  }

  /** Marks what depends on something that is another now. */
  private markDependents(change: NamespaceChange, dataChanged: readonly Entity[]): void {
    for (const dependency of change.dependencies) this.markDependentsOn(dependency);
    for (const [dependency, entities] of change.fields)
      this.markDependentsOn(dependency, cell => looksInto(cell, entities));
    for (const formula of change.formulas) this.markDependentsOn(onName(formula.name), cell => mayHold(cell, formula));
    for (const entity of dataChanged) this.markDependentsOn(onRows(entity.key));
  }

  private markDependentsOn(dependency: Dependency, only?: (cell: Cell) => boolean): void {
    for (const cell of this.cells.dependents.of(dependency)) if (!only || only(cell)) mark(cell, State.Elaborate);
  }

  private replaceOverrides(overrides: Overrides): void {
    for (const { entity, name } of this.overlay?.replace(overrides) ?? []) {
      this.sync(entity);
      this.markDependentsOn(onName(name));
    }
  }

  /** Makes cells for what the overrides reach now and did not before, and lets go of the others. */
  private followBase(): void {
    if (!this.overlay) return;
    const { gained, lost } = this.overlay.followBase();
    for (const cell of gained) for (const user of cell.users) if (user.home === this) mark(user, State.Elaborate);
    for (const entity of new Set([...lost, ...gained].map(cell => cell.entity))) this.sync(entity);
  }

  private refreshUnits(): void {
    const next = this.base?.units ?? readDeclaredUnits(this.namespace, this.units);
    if (next === this.units) return;
    this.reading.units = next;
    this.markDependentsOn(ON_UNITS);
  }

  /** Settles everything that is queued, lowest rank first. */
  private *calculate(): Generator<void> {
    yield* this.schedule.steps();
    for (const cell of this.formulas.take()) {
      this.settleFormula(cell);
      yield;
    }
    yield* this.schedule.steps();
  }

  /** A formula that somebody calls is checked by its calls alone; one that nobody calls is elaborated on its own. */
  private settleFormula(cell: Cell): void {
    if (this.formulas.isCalled(cell.item as ValueItem)) {
      this.population.unlink(cell);
      cell.state = State.Clean;
      cell.problems = [];
      this.touch(cell);
    } else if (!cell.busy) this.calculator.elaborate(cell);
  }

  // ---- home of its cells --------------------------------------------------------------------------------------------

  settle(cell: Cell): void {
    this.calculator.settle(cell);
  }

  mark(cell: Cell, state: State): void {
    if (cell.removed) return;
    dissolve(cell);
    if (cell.state >= state) return;
    const queued = cell.state !== State.Clean;
    cell.state = state;
    if (!queued) this.enqueue(cell);
  }

  enqueue(cell: Cell): void {
    if (cell.calculate === calculateUncalled) this.formulas.enqueue(cell);
    else this.schedule.add(cell);
  }

  touch(cell: Cell): void {
    this.touched.add(cell);
  }

  forget(cell: Cell): void {
    this.touched.delete(cell);
    const shared = this.base?.cell(cell.entity, cell.key);
    if (shared) this.touched.add(shared);
  }
}
