/** What a calculation rests on: the values, factors, allowables, loads and files that its numbers are made of. */
import { compact } from '../base/index.js';
import { comparePlace, type Entity } from '../model/namespace.js';
import type { ValueItem } from '../model/declaration.js';
import type { Annotations, Expression } from '../model/expression.js';
import type { Arena } from './values/arena.js';
import { keyOfValue } from './evaluation/cell-key.js';
import { Cell, SlotOwner } from './evaluation/cell.js';
import type { Evaluation } from './evaluation/evaluation.js';
import { Op } from './operations/op.js';
import { DataOwner } from './elaboration/rows.js';
import { conditionNodes, type CheckRow } from './elaboration/check.js';
import type { Condition, Origin, Place, Value } from './values/value.js';

/** Something that is written in a block: a cell, whose item is the one of the present text, or an item for itself. */
type Written = Pick<Cell, 'entity' | 'item'>;

/** A value of the project that a calculation reads, with what is said about it now. */
export class ReachedValue {
  constructor(
    private readonly written: Written,
    readonly path: readonly string[],
  ) {}

  get entity(): Entity {
    return this.written.entity;
  }

  get item(): ValueItem {
    return this.written.item as ValueItem;
  }

  get annotations(): Annotations {
    return annotationsAt(this.item, this.path);
  }
}

/** As it is written from the top. */
export function nameOf(value: Pick<ReachedValue, 'entity' | 'item' | 'path'>): string {
  return [value.entity.path, value.item.name === 'value' ? '' : value.item.name, ...value.path]
    .filter(Boolean)
    .join('.');
}

export interface Facts {
  readonly values: readonly ReachedValue[];
  /** Blocks of results whose numbers it reads. */
  readonly results: readonly Entity[];
  /** Loads of which a field is read. */
  readonly loads: readonly Entity[];
  /** Tables of materials, with the numbers that they are asked at. */
  readonly asked: readonly AskedTable[];
  /**
   * What keeps an analysis open, found for whole checks: values to be confirmed, typical or estimated, and what was
   * measured on an article or in evidence that may not stand; in numbers or in what decided the structure.
   */
  readonly provisional: readonly ReachedValue[];
  /** What is said to rest on an assumption, found for whole checks. */
  readonly assuming: readonly ReachedValue[];
}

export interface AskedTable {
  readonly origin: Origin;
  readonly inputs: readonly number[];
}

export interface FactorUse {
  readonly entity: Entity;
  readonly item: ValueItem;
  readonly value: number;
  readonly times: number;
  readonly side: 'applied' | 'allowable';
}

/** Facts with the cells they were found over; foundations only grow, so their sum tells whether one moved. */
interface Cached {
  readonly cells: readonly Cell[];
  readonly stamp: number;
  readonly facts: Facts;
}

function remember(cells: ReadonlySet<Cell>, facts: Facts): Cached {
  const list = [...cells];
  return { cells: list, stamp: stampOf(list), facts };
}

function stampOf(cells: readonly Cell[]): number {
  let stamp = 0;
  for (let i = 0; i < cells.length; i++) {
    const cell = cells[i]!;
    // Facts name entries of the code.
    stamp += cell.removed ? NaN : cell.foundation + cell.recoded;
  }
  return stamp;
}

const cache = new WeakMap<Cell, Cached>();

/** Everything that a check's rows read. Kept until one of the cells on the way is elaborated again. */
export function factsOf(evaluation: Evaluation, cell: Cell): Facts {
  const known = cache.get(cell);
  if (known && known.stamp === stampOf(known.cells)) return known.facts;
  const cells = new Set<Cell>([cell]);
  const roots = cell.plan
    ? cell.plan.rows.flatMap(row => (row.condition ? conditionNodes(row.condition) : []))
    : cell.outputs;
  const facts = reach(evaluation, roots, cells, cell);
  cache.set(cell, remember(cells, facts));
  return facts;
}

type Side = 'applied' | 'allowable' | 'both';
const rowCache = new WeakMap<CheckRow, Partial<Record<Side, Cached>>>();

/** What one side of a row (or both) reads. Kept until one of the cells on the way reads something else. */
export function factsOfRow(evaluation: Evaluation, row: CheckRow, side: Side): Facts {
  let sides = rowCache.get(row);
  if (!sides) rowCache.set(row, (sides = {}));
  const known = sides[side];
  if (known && known.stamp === stampOf(known.cells)) return known.facts;
  const cells = new Set<Cell>();
  const facts = reach(evaluation, rootsOf(row, side), cells);
  sides[side] = remember(cells, facts);
  return facts;
}

function rootsOf(row: CheckRow, side: Side): number[] {
  const compare = firstComparison(row.condition);
  if (!compare) return row.condition ? conditionNodes(row.condition) : [];
  const [applied, allowable] = compare.operator.startsWith('<')
    ? [compare.left.node, compare.right.node]
    : [compare.right.node, compare.left.node];
  return side === 'both' ? [applied, allowable] : [side === 'applied' ? applied : allowable];
}

/** Entries seen by the walk that is going on carry its number: no walk needs a set of its own. */
let marks = new Int32Array(1024);
let walkNumber = 0;

/**
 * Walks down from `roots`; `cells` collects every cell on the way. With the cell that a whole calculation is in, what
 * decided its structure (ends of sweeps, filters, choices, entries of tables, texts) is reached as well, and what its
 * tables are asked at is kept.
 */
export function reach(
  evaluation: Evaluation,
  roots: readonly number[],
  cells: Set<Cell> = new Set(),
  whole: Cell | null = null,
): Facts {
  return new Walk(evaluation, cells, whole).from(roots);
}

class Walk {
  private readonly values: ReachedValue[] = [];
  private readonly deciding: ReachedValue[] = [];
  private results = NO_ENTITIES;
  private loads = NO_ENTITIES;
  private readonly tables = new Map<Origin, number[]>();
  private readonly stack: number[] = [];
  private readonly structured = new Set<Cell>();
  private readonly number = ++walkNumber;

  constructor(
    private readonly evaluation: Evaluation,
    private readonly cells: Set<Cell>,
    private readonly whole: Cell | null,
  ) {}

  from(roots: readonly number[]): Facts {
    const { arena } = this.evaluation;
    const { stack, whole, tables } = this;
    if (marks.length < arena.size) marks = new Int32Array(arena.op.length);
    for (const root of roots) this.open(root);
    if (whole) {
      this.openStructure(whole);
      this.openRepeated(whole);
    }
    for (let node = stack.pop(); node !== undefined; node = stack.pop()) {
      const detail = arena.details.get(node);
      if (detail?.kind === 'slot') this.slot(detail.owner);
      else if (detail?.kind === 'table') this.lookup(detail.origin, arena.a[node]!);
      below.length = 0;
      arena.pushOperands(node, below);
      for (const operand of below) this.open(operand);
    }
    const all = whole ? [...new Set([...this.values, ...this.deciding])] : NO_VALUES;
    return {
      values: compact(this.values),
      results: compact(this.results),
      loads: compact(this.loads),
      asked: whole ? askedOf(tables) : NOTHING_ASKED,
      provisional: kept(all, isProvisional),
      assuming: kept(all, isAssuming),
    };
  }

  private open(node: number): void {
    if (node === 0 || marks[node] === this.number) return;
    marks[node] = this.number;
    this.stack.push(node);
  }

  private note(written: Written, path: readonly string[]): void {
    this.values.push(reachedValue(written, path));
    if (written.entity.kind === 'load') this.loads = including(this.loads, written.entity);
  }

  private data(source: Entity): void {
    this.results = including(this.results, source);
    const { value } = source.declaration;
    if (this.whole && value) this.deciding.push(reachedItem(source, value));
  }

  private slot(owner: unknown): void {
    if (owner instanceof DataOwner) this.data(owner.rows.source);
    const cell = owner instanceof SlotOwner ? owner.cell : owner instanceof Cell ? owner : null;
    if (!cell) return;
    this.cells.add(cell);
    if (isValue(cell)) this.note(cell, owner instanceof SlotOwner ? owner.path : NO_PATH);
    this.openStructure(cell);
    this.openRepeated(cell);
  }

  /** A table that is asked at the number of an entry. */
  private lookup(table: unknown, input: number): void {
    const origin = (table as { origin: Origin | null } | null)?.origin;
    if (!origin) return;
    const inputs = this.tables.get(origin);
    if (inputs) {
      inputs.push(input);
      return;
    }
    this.tables.set(origin, [input]);
    const cell = this.evaluation.cell(origin.entity, keyOfValue(origin.entity, origin.item));
    this.note(cell?.item === origin.item ? cell : origin, origin.path);
    if (!cell) return;
    this.cells.add(cell);
    this.openStructure(cell);
  }

  /** Numbers that the structure of a cell was decided by, formulas that it calls, and what it reads beside numbers. */
  private openStructure(cell: Cell): void {
    const { evaluation, deciding } = this;
    if (!this.whole || this.structured.has(cell)) return;
    this.structured.add(cell);
    this.cells.add(cell);
    if (cell.demanded) for (const node of cell.demanded.keys()) this.open(node);
    for (const item of cell.calls) deciding.push(reachedItem(evaluation.ownerOf(item), item));
    for (const source of evaluation.dataReadBy(cell)) this.data(source);
    for (const read of cell.reads) {
      if (isNumeric(read.value)) continue;
      deciding.push(...wordsOf(read));
      this.openStructure(read);
    }
  }

  /** What a cell repeats of others (items that vary each on its own) it reads as they do. */
  private openRepeated(cell: Cell): void {
    for (const inner of cell.repeats) {
      if (this.cells.has(inner)) continue;
      this.cells.add(inner);
      if (isValue(inner)) this.note(inner, NO_PATH);
      this.openStructure(inner);
      this.openRepeated(inner);
    }
  }
}

const including = (list: readonly Entity[], entity: Entity): readonly Entity[] =>
  list.length === 0 ? [entity] : list.includes(entity) ? list : [...list, entity];

/** The cell whose whole value a number is; null where it is calculated on the spot, or an entry of a record. */
export function cellAt({ arena }: Evaluation, node: number): Cell | null {
  const detail = arena.op[node] === Op.Slot ? arena.details.get(node) : undefined;
  return detail?.kind === 'slot' && detail.owner instanceof Cell ? detail.owner : null;
}

function isValue({ item }: Cell): boolean {
  return item !== null && 'annotations' in item && item.kind !== 'check';
}

/** Whether a value is numbers alone: then it acts by these, and by nothing else of it. */
function isNumeric({ kind }: Value): boolean {
  return kind === 'quantity' || kind === 'vector' || kind === 'range' || kind === 'any-direction' || kind === 'truth';
}

/** What was said of a value that isn't numbers alone: of the whole, and of entries that are no numbers themselves. */
function wordsOf(cell: Cell): ReachedValue[] {
  if (!isValue(cell)) return [];
  const found = [reachedValue(cell, NO_PATH)];
  const visit = (value: Value, path: readonly string[]): void => {
    if (value.kind === 'record') for (const [name, entry] of value.entries) visit(entry, [...path, name]);
    else if (path.length > 0 && value.kind !== 'table' && !isNumeric(value)) found.push(reachedValue(cell, path));
  };
  visit(cell.value, NO_PATH);
  return found;
}

function askedOf(tables: ReadonlyMap<Origin, readonly number[]>): readonly AskedTable[] {
  const asked = [...tables]
    .filter(([origin]) => origin.entity.kind === 'material')
    .map(([origin, inputs]) => ({ origin, inputs }));
  return asked.length === 0 ? NOTHING_ASKED : asked;
}

function isProvisional({ entity, annotations }: ReachedValue): boolean {
  return (
    annotations.tbc === true ||
    annotations.basis === 'typical' ||
    annotations.maturity === 'estimated' ||
    entity.kind === 'evidence' ||
    entity.kind === 'article'
  );
}

/** Values may be under an assumption, or cite one as their source. */
function isAssuming({ annotations }: ReachedValue): boolean {
  return annotations.under !== undefined || annotations.source?.document != null;
}

function kept(values: readonly ReachedValue[], wanted: (value: ReachedValue) => boolean): readonly ReachedValue[] {
  return values.some(wanted) ? compact(values.filter(wanted)) : NO_VALUES;
}

const NO_VALUES: readonly ReachedValue[] = [];
const NOTHING_ASKED: readonly AskedTable[] = [];
const NO_PATH: readonly string[] = [];
const NO_ENTITIES: readonly Entity[] = [];

/** What is read of a whole cell or item, once made. */
const wholes = new WeakMap<object, ReachedValue>();

function reachedValue(written: Written, path: readonly string[]): ReachedValue {
  if (path.length > 0) return new ReachedValue(written, path);
  let whole = wholes.get(written);
  if (!whole) wholes.set(written, (whole = new ReachedValue(written, path)));
  return whole;
}

function reachedItem(entity: Entity, item: ValueItem): ReachedValue {
  let whole = wholes.get(item);
  if (whole?.entity !== entity) wholes.set(item, (whole = new ReachedValue({ entity, item }, NO_PATH)));
  return whole;
}

/** What was said about an item, or about the entry of its record that `path` leads to. */
export function annotationsAt(item: ValueItem, path: readonly string[]): Annotations {
  let at: Expression = item.value;
  let annotations = item.annotations;
  for (const name of path) {
    if (at.kind !== 'record') break;
    const entry = at.entries.find(candidate => candidate.name === name);
    if (!entry) break;
    at = entry.value;
    annotations = { ...annotations, ...entry.annotations };
  }
  return annotations;
}

const NO_FACTORS: readonly FactorUse[] = [];
/** A factor on a side of a comparison; on both at once within a reserve, where the set of factors says which it is. */
type SidedPower = FactorPower & { readonly side: FactorUse['side'] | 'within a reserve' };

const factorCache = new WeakMap<CheckRow, { readonly facts: Facts; readonly uses: readonly SidedPower[] }>();

/**
 * Members of `factors` on the way to both sides of a row, and how often each is multiplied in; those of the applied
 * side first, in the order in which they are written.
 */
export function factorsOf(evaluation: Evaluation, row: CheckRow): readonly FactorUse[] {
  const facts = factsOfRow(evaluation, row, 'both');
  let known = factorCache.get(row);
  if (known?.facts !== facts) {
    const some = facts.values.some(value => value.entity.kind === 'factors');
    factorCache.set(row, (known = { facts, uses: some ? findFactors(evaluation, row) : [] }));
  }
  if (known.uses.length === 0) return NO_FACTORS;
  const sides = (use: FactorUse): number => (use.side === 'applied' ? 0 : 1);
  return known.uses
    .map(({ cell, slot, times, side }) => ({
      entity: cell.entity,
      item: cell.item as ValueItem,
      value: evaluation.number(slot),
      times,
      side: side === 'within a reserve' ? statedSide(cell.entity) : side,
    }))
    .sort((x, y) => sides(x) - sides(y) || comparePlace(x.item, y.item));
}

function findFactors(evaluation: Evaluation, row: CheckRow): SidedPower[] {
  const compare = firstComparison(row.condition);
  if (!compare) return [];
  const upward = compare.operator.startsWith('<');
  const [applied, allowable] = upward
    ? [compare.left.node, compare.right.node]
    : [compare.right.node, compare.left.node];
  const uses = (node: number, side: FactorUse['side']): SidedPower[] =>
    powers(evaluation, node).map(power => ({
      ...power,
      side: throughReserve(evaluation, node) ? 'within a reserve' : side,
    }));
  return [...uses(applied, 'applied'), ...uses(allowable, 'allowable')];
}

export function firstComparison(condition: Condition | null): (Condition & { kind: 'compare' }) | null {
  if (!condition || condition.kind === 'boolean') return null;
  if (condition.kind === 'compare') return condition;
  for (const part of condition.parts) {
    const found = firstComparison(part);
    if (found) return found;
  }
  return null;
}

/** Whether a side is a reserve: both sides of its own condition stand in it. */
function throughReserve(evaluation: Evaluation, node: number): boolean {
  let at = node;
  while (evaluation.arena.op[at] === Op.Slot && evaluation.arena.a[at]) at = evaluation.arena.a[at]!;
  return evaluation.arena.op[at] === Op.Reserve;
}

function statedSide(factors: Entity): FactorUse['side'] {
  const side = factors.values.get('side')?.value;
  return side?.kind === 'name' && side.name === 'allowable' ? 'allowable' : 'applied';
}

/** A member of `factors` below a number, and how often it is multiplied into it. */
interface FactorPower {
  readonly cell: Cell;
  readonly slot: number;
  times: number;
}

let counts = new Int32Array(1024);

/**
 * Factors below a number: products add up how often one is multiplied in, sums and choices take the most of their
 * terms.
 */
function powers(evaluation: Evaluation, root: number): FactorPower[] {
  const { arena } = evaluation;
  if (counts.length < arena.size) counts = new Int32Array(arena.op.length);
  const order = arena.orderBelow([root], (entry, list) => arena.pushOperands(entry, list));
  const found = order.flatMap(slot => {
    const cell = factorAt(arena, slot);
    return cell ? [{ slot, cell, times: 0 }] : [];
  });
  for (const factor of found) {
    for (const entry of order) counts[entry] = entry === factor.slot ? 1 : timesAt(arena, entry);
    factor.times = counts[root]!;
  }
  return found;
}

function factorAt(arena: Arena, entry: number): Cell | null {
  const detail = arena.op[entry] === Op.Slot ? arena.details.get(entry) : undefined;
  const cell = detail?.kind === 'slot' && detail.owner instanceof Cell ? detail.owner : null;
  return cell?.entity.kind === 'factors' && cell.item && cell.outputs.length === 1 ? cell : null;
}

/** What is calculated with a factor and then squared, as in an interaction, holds it once; the factor alone twice. */
function timesInSquare(arena: Arena, entry: number): number {
  let at = entry;
  while (!factorAt(arena, at) && arena.op[at] === Op.Slot && arena.a[at]) at = arena.a[at]!;
  return factorAt(arena, at) ? 2 * counts[entry]! : counts[entry]!;
}

const below: number[] = [];

/** By the counts of its operands; those of the entry 0, which stands for none, are 0. */
function timesAt(arena: Arena, entry: number): number {
  const a = arena.a[entry]!;
  const b = arena.b[entry]!;
  switch (arena.opAt(entry)) {
    case Op.Square:
      return timesInSquare(arena, a);
    case Op.Multiply:
      return a === b ? timesInSquare(arena, a) : counts[a]! + counts[b]!;
    case Op.Divide:
      return counts[a]! + counts[b]!;
    default: {
      let most = 0;
      below.length = 0;
      arena.pushOperands(entry, below);
      for (const operand of below) most = Math.max(most, counts[operand]!);
      return most;
    }
  }
}

/** Whether an entry is a field of a load, whose case is named without how the load was made. */
function isOfLoad({ arena }: Evaluation, node: number): boolean {
  const detail = arena.details.get(node);
  const owner = detail?.kind === 'slot' ? detail.owner : null;
  const cell = owner instanceof SlotOwner ? owner.cell : owner;
  return cell instanceof Cell && cell.entity.kind === 'load';
}

/** Which arguments of `max` and `min` won on the way to a number, from the outside in; loads are named as they are. */
export function winners(evaluation: Evaluation, root: number, sourceText: (place: Place) => string): string[] {
  const { arena } = evaluation;
  const found: string[] = [];
  const seen = new Set<number>();
  const visit = (node: number, depth: number): void => {
    if (seen.has(node) || depth > 200) return;
    seen.add(node);
    const op = arena.opAt(node);
    if (op === Op.Slot && isOfLoad(evaluation, node)) return;
    if (op === Op.Maximum || op === Op.Minimum) {
      const detail = arena.details.get(node);
      const [a, b] = [arena.a[node]!, arena.b[node]!];
      const first = (op === Op.Maximum) === arena.values[a]! >= arena.values[b]!;
      if (detail?.kind === 'operands') {
        const label = detail.labels[first ? 0 : 1]!;
        if (label) found.push(typeof label === 'string' ? label : sourceText(label));
      }
      visit(first ? a : b, depth + 1);
      return;
    }
    for (const operand of arena.operands(node)) visit(operand, depth + 1);
  };
  visit(root, 0);
  return found;
}

/** Whether a reserve or a root is solved for on the way to some numbers. */
export function solvesFor(evaluation: Evaluation, roots: readonly number[]): boolean {
  const { arena } = evaluation;
  const seen = new Set<number>();
  const stack = [...roots];
  while (stack.length > 0) {
    const node = stack.pop()!;
    if (seen.has(node)) continue;
    seen.add(node);
    const op = arena.opAt(node);
    if (op === Op.Reserve || op === Op.Root) return true;
    arena.pushOperands(node, stack);
  }
  return false;
}

/** The allowables a side of a row reads: values of materials that state a basis, or are tables of strength. */
export function allowablesOf(evaluation: Evaluation, node: number): ReachedValue[] {
  return reach(evaluation, [node]).values.filter(value => value.entity.kind === 'material');
}
