/** How the elaboration of a cell reads: values, attributes, names, rows, each noted so that changes are followed. */
import type { ValueItem } from '../../model/declaration.js';
import { blockOfRows, onName, onRows, ON_ANY_VALUE, type Dependency } from '../../model/dependency.js';
import { isConfined, type Entity, type Namespace } from '../../model/namespace.js';
import { ATTRIBUTES } from '../elaboration/attributes.js';
import type { Host } from '../elaboration/elaboration.js';
import type { DataRows, Value } from '../values/value.js';
import { calculateValue } from './calculations.js';
import { attributeKey, keyOfValue, nameOf, valueKey, type CellKey } from './cell-key.js';
import { Cell, isWithin, placeOfCell, push, SlotOwner, State, type CellItem } from './cell.js';
import type { Cells } from './cells.js';
import type { DeclaredUnits } from './declared-units.js';
import { connect } from './edges.js';
import type { Overlay, ScopedItem } from './overlay.js';
import type { UncalledFormulas } from './uncalled-formulas.js';

/** Where the numbers of data files come from, and who is told of what fails in us. */
export interface DataSource {
  /** Rows of the file of a `table` or `results` block, or why there are none; the same object while nothing changed. */
  rows(entity: Entity): DataRows;
  onDefect(what: string, error: unknown): void;
}

export type MakeCell = (
  entity: Entity,
  key: CellKey,
  item: CellItem,
  scope: Entity,
  calculate: Cell['calculate'],
) => Cell;

/** What an evaluation reads with. */
export interface Sources {
  readonly namespace: Namespace;
  readonly library: Namespace;
  readonly data: DataSource;
  readonly cells: Cells;
  readonly formulas: UncalledFormulas;
  readonly overlay: Overlay | null;
  /** How the base model reads, where this is a configuration. */
  readonly base: Reading | null;
  readonly makeCell: MakeCell;
}

export class Reading implements Host {
  units: DeclaredUnits = new Map();
  /** The cell that is being elaborated; null where what is read is not followed. */
  private reader: Cell | null = null;

  constructor(private readonly sources: Sources) {}

  get namespace(): Namespace {
    return this.sources.namespace;
  }

  get library(): Namespace {
    return this.sources.library;
  }

  /** Lets `work` read for a cell, or for none. */
  for<T>(reader: Cell | null, work: () => T): T {
    const outer = this.reader;
    this.reader = reader;
    try {
      return work();
    } finally {
      this.reader = outer;
    }
  }

  itemOf(entity: Entity, name: string): ScopedItem | undefined {
    const override = this.sources.overlay?.itemOf(entity, name);
    if (override) return override;
    const item = entity.values.get(name);
    return item && { item, scope: entity };
  }

  valueNames(entity: Entity): Iterable<string> {
    this.dependsOn(ON_ANY_VALUE, entity);
    return this.sources.overlay?.valueNames(entity) ?? entity.values.keys();
  }

  read(entity: Entity, item: ValueItem): Value {
    const key = item.kind === 'override' ? valueKey(item.path[item.path.length - 1]!) : keyOfValue(entity, item);
    return this.follow(this.obtain(entity, key, item, calculateValue));
  }

  attribute(entity: Entity, name: string): Value | undefined {
    const attribute = ATTRIBUTES.get(name);
    if (!attribute || !attribute.kinds.includes(entity.kind)) return undefined;
    return this.follow(
      this.obtain(entity, attributeKey(name), null, elaborator => attribute.calculate(elaborator, entity)),
    );
  }

  /** The cell of a value, made where nothing asked for it before: in the base, unless the overrides reach it. */
  private obtain(entity: Entity, key: CellKey, item: ValueItem | null, calculate: Cell['calculate']): Cell {
    const { cells, overlay, base, makeCell } = this.sources;
    const known = cells.get(entity, key);
    if (known) return known;
    const name = nameOf(key);
    const isOverridden = name !== null && overlay?.itemOf(entity, name) !== undefined;
    if (base && overlay && !isOverridden) {
      const shared = base.obtain(entity, key, item, calculate);
      if (shared.state !== State.Clean && !shared.busy) shared.home.settle(shared);
      if (!overlay.reaches(shared)) return shared;
    }
    const scope = (name !== null && this.itemOf(entity, name)?.scope) || entity;
    const cell = makeCell(entity, key, item, scope, calculate);
    cells.late.add(cell);
    return cell;
  }

  private follow(cell: Cell): Value {
    const { reader } = this;
    if (reader && cell.busy) {
      // It needs itself while it is calculated: that it is one of a cycle is found once the graph is known.
      connect(reader, cell);
      return { kind: 'poison', reason: { code: 'cycle', data: {}, place: placeOfCell(cell) } };
    }
    if (cell.state !== State.Clean) cell.home.settle(cell);
    if (reader) connect(reader, cell);
    return cell.value;
  }

  dependsOn(dependency: Dependency, from?: Entity): void {
    const { reader } = this;
    if (!reader) return;
    if (from && isConfined(from) && !isWithin(reader.scope, from) && !reader.lookedIn.includes(from))
      reader.lookedIn = push(reader.lookedIn, from);
    if (reader.dependencies.includes(dependency)) return;
    reader.dependencies = push(reader.dependencies, dependency);
    this.sources.cells.dependents.add(dependency, reader);
  }

  demands(node: number, value: number): void {
    if (this.reader) (this.reader.demanded ??= new Map()).set(node, value);
  }

  calls(item: ValueItem): void {
    const { reader } = this;
    // A formula that is elaborated on its own does not call itself by that.
    if (!reader || reader.item === item || reader.calls.includes(item)) return;
    reader.calls = push(reader.calls, item);
    this.sources.formulas.called(item);
  }

  repeats(owner: unknown): void {
    const cell = owner instanceof SlotOwner ? owner.cell : owner;
    if (cell instanceof Cell && this.reader) this.reader.repeats = new Set([...this.reader.repeats, cell]);
  }

  rows(entity: Entity): Value {
    this.dependsOn(onRows(entity.key));
    this.dependsOn(onName(entity.name));
    const source = this.sources.data.rows(entity);
    if (!source.ready)
      return {
        kind: 'poison',
        reason: { code: 'data-missing', data: { name: entity.name }, place: { owner: entity, id: 2 } },
      };
    return { kind: 'rows', source: entity, data: source };
  }

  /** Blocks of data files whose rows a cell reads. */
  *dataReadBy(cell: Cell): Iterable<Entity> {
    for (const dependency of cell.dependencies) {
      const block = blockOfRows(dependency);
      const entity = block === null ? undefined : this.namespace.entities.get(block);
      if (entity) yield entity;
    }
  }
}
