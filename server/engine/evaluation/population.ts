/** Which cells there are: made as the items of the model ask for them, dropped with their items. */
import type { Declaration, ValueItem } from '../../model/declaration.js';
import type { Entity } from '../../model/namespace.js';
import type { Arena } from '../values/arena.js';
import type { Host } from '../elaboration/elaboration.js';
import { calculateUncalled, eachCell, type VisitCell } from './calculations.js';
import type { CellKey } from './cell-key.js';
import {
  Cell,
  isAttribute,
  mark,
  NO_CALLS,
  NO_ENTITIES,
  NO_DEPENDENCIES,
  State,
  type CellHome,
  type CellItem,
} from './cell.js';
import type { Cells } from './cells.js';
import { dissolve } from './cycles.js';
import { disconnect } from './edges.js';
import type { Overlay } from './overlay.js';
import type { UncalledFormulas } from './uncalled-formulas.js';
import type { Workload } from './workload.js';

export class Population {
  /** What each block was declared as when its cells were brought in line. */
  private readonly declarations = new WeakMap<Entity, Declaration>();

  constructor(
    private readonly home: CellHome,
    private readonly cells: Cells,
    private readonly formulas: UncalledFormulas,
    private readonly overlay: Overlay | null,
    private readonly arena: Arena,
    private readonly workload: Workload,
    private readonly host: Host,
  ) {}

  /** Makes the cells that an entity's items ask for and drops the others. */
  sync(entity: Entity): void {
    const cells = this.cells.of(entity);
    const isRedeclared = this.declarations.get(entity) !== entity.declaration;
    this.declarations.set(entity, entity.declaration);
    if (cells.size === 0) {
      this.eachOwnCell(entity, (key, item, scope, calculate) => void this.make(entity, key, item, scope, calculate));
      return;
    }
    const wanted = new Map<CellKey, { item: CellItem; scope: Entity; calculate: Cell['calculate'] }>();
    this.eachOwnCell(entity, (key, item, scope, calculate) => void wanted.set(key, { item, scope, calculate }));
    for (const [key, cell] of cells) {
      const next = wanted.get(key);
      if (!next && isAttribute(cell) && this.holds(entity, key)) {
        if (isRedeclared) mark(cell, State.Elaborate);
        continue;
      }
      if (!next || next.calculate !== cell.calculate) this.drop(cell);
      else if (next.item !== cell.item || next.scope !== cell.scope) {
        if (cell.calculate === calculateUncalled) this.formulas.replace(cell, next.item as ValueItem);
        cell.item = next.item;
        cell.scope = next.scope;
        mark(cell, State.Elaborate);
        // What is known of a block depends on what is said (maturity, positions) and where, not on the number alone.
        for (const user of cell.users) if (isAttribute(user)) mark(user, State.Elaborate);
      }
    }
    for (const [key, { item, scope, calculate }] of wanted)
      if (!this.cells.get(entity, key)) this.make(entity, key, item, scope, calculate);
  }

  make(entity: Entity, key: CellKey, item: CellItem, scope: Entity, calculate: Cell['calculate']): Cell {
    const cell = new Cell(this.home, entity, key, item, scope, calculate);
    this.cells.add(cell);
    if (calculate === calculateUncalled) this.formulas.add(cell);
    this.home.enqueue(cell);
    return cell;
  }

  dropAll(entity: Entity): void {
    for (const cell of this.cells.of(entity).values()) this.drop(cell);
  }

  /** Lets go of all that a cell reads, depends on and calls. */
  unlink(cell: Cell): void {
    disconnect(cell);
    for (const dependency of cell.dependencies) this.cells.dependents.delete(dependency, cell);
    for (const item of cell.calls) this.formulas.letGo(item);
    cell.dependencies = NO_DEPENDENCIES;
    cell.lookedIn = NO_ENTITIES;
    cell.calls = NO_CALLS;
  }

  private drop(cell: Cell): void {
    dissolve(cell);
    cell.removed = true;
    this.unlink(cell);
    if (cell.calculate === calculateUncalled) this.formulas.delete(cell);
    for (const user of cell.users) mark(user, State.Elaborate);
    this.arena.free(cell.start, cell.end - cell.start);
    for (const slot of cell.outputs) this.arena.free(slot, 1);
    this.workload.drop(cell);
    this.cells.delete(cell);
    this.home.forget(cell);
  }

  /** The cells that an entity asks for here. */
  private eachOwnCell(entity: Entity, visit: VisitCell): void {
    eachCell(
      this.host,
      entity,
      this.overlay
        ? (key, item, scope, calculate) => {
            if (this.holds(entity, key)) visit(key, item, scope, calculate);
          }
        : visit,
    );
  }

  /** Whether a value is this evaluation's own: all are the base's, but for what a configuration reaches. */
  private holds(entity: Entity, key: CellKey): boolean {
    return this.overlay?.holds(entity, key) ?? true;
  }
}
