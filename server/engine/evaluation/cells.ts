import type { Entity } from '../../model/namespace.js';
import type { CellKey } from './cell-key.js';
import type { Cell } from './cell.js';
import { Dependents } from './dependents.js';

/** The cells of one evaluation, by the entity that they belong to and their key. */
export class Cells {
  private readonly byEntity = new Map<Entity, Map<CellKey, Cell>>();
  readonly dependents = new Dependents(this);
  /** Cells that something asked for before there was an item for them, since the last update. */
  readonly late = new Set<Cell>();

  get(entity: Entity, key: CellKey): Cell | undefined {
    return this.byEntity.get(entity)?.get(key);
  }

  of(entity: Entity): ReadonlyMap<CellKey, Cell> {
    return this.byEntity.get(entity) ?? NO_CELLS_BY_KEY;
  }

  get entities(): readonly Entity[] {
    return [...this.byEntity.keys()];
  }

  *[Symbol.iterator](): Iterator<Cell> {
    for (const cells of this.byEntity.values()) yield* cells.values();
  }

  add(cell: Cell): void {
    const known = this.byEntity.get(cell.entity);
    if (known) known.set(cell.key, cell);
    else this.byEntity.set(cell.entity, new Map([[cell.key, cell]]));
  }

  delete(cell: Cell): void {
    const cells = this.byEntity.get(cell.entity);
    cells?.delete(cell.key);
    if (cells?.size === 0) this.byEntity.delete(cell.entity);
  }
}

const NO_CELLS_BY_KEY: ReadonlyMap<CellKey, Cell> = new Map();
