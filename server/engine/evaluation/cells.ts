import type { Entity } from '../../model/namespace.js';
import type { Cell } from './cell.js';
import { NameUsers } from './name-users.js';

/** The cells of one evaluation, by the entity that they belong to and their name. */
export class Cells {
  private readonly byEntity = new Map<Entity, Map<string, Cell>>();
  readonly nameUsers = new NameUsers(this);
  /** Cells that something asked for before there was an item for them, since the last update. */
  readonly late = new Set<Cell>();

  get(entity: Entity, name: string): Cell | undefined {
    return this.byEntity.get(entity)?.get(name);
  }

  of(entity: Entity): ReadonlyMap<string, Cell> {
    return this.byEntity.get(entity) ?? NO_CELLS_BY_NAME;
  }

  get entities(): readonly Entity[] {
    return [...this.byEntity.keys()];
  }

  *[Symbol.iterator](): Iterator<Cell> {
    for (const cells of this.byEntity.values()) yield* cells.values();
  }

  add(cell: Cell): void {
    const known = this.byEntity.get(cell.entity);
    if (known) known.set(cell.name, cell);
    else this.byEntity.set(cell.entity, new Map([[cell.name, cell]]));
  }

  delete(cell: Cell): void {
    const cells = this.byEntity.get(cell.entity);
    cells?.delete(cell.name);
    if (cells?.size === 0) this.byEntity.delete(cell.entity);
  }
}

const NO_CELLS_BY_NAME: ReadonlyMap<string, Cell> = new Map();
