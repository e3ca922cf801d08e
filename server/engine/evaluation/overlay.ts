import type { ValueItem } from '../../model/declaration.js';
import { onName } from '../../model/dependency.js';
import type { Entity } from '../../model/namespace.js';
import { nameOf, valueKey, type CellKey } from './cell-key.js';
import { NO_CELLS, type Cell } from './cell.js';
import type { Cells } from './cells.js';

/** A value that counts in place of the model's own, and where its names are looked up. */
export interface ScopedItem {
  readonly item: ValueItem;
  readonly scope: Entity;
}
export type Overrides = ReadonlyMap<Entity, ReadonlyMap<string, ScopedItem>>;

export const NO_OVERRIDES: Overrides = new Map();

/** What a configuration overrides, and which cells of the base model that reaches: it has cells of its own for them. */
export class Overlay {
  private overrides = NO_OVERRIDES;
  private reached: ReadonlySet<Cell> = NO_CELLS;

  constructor(private readonly base: Cells) {}

  itemOf(entity: Entity, name: string): ScopedItem | undefined {
    return this.overrides.get(entity)?.get(name);
  }

  /** Names of the values of an entity, with those that only the configuration gives it. */
  valueNames(entity: Entity): Iterable<string> {
    const overridden = this.overrides.get(entity);
    return overridden ? new Set([...entity.values.keys(), ...overridden.keys()]) : entity.values.keys();
  }

  /** Takes over what is overridden now; the values whose override is another, came or went. */
  replace(overrides: Overrides): readonly { readonly entity: Entity; readonly name: string }[] {
    const before = this.overrides;
    this.overrides = overrides;
    return [...before, ...overrides].flatMap(([entity, names]) =>
      [...names.keys()]
        .filter(name => {
          const [old, next] = [before.get(entity)?.get(name), overrides.get(entity)?.get(name)];
          return old?.item !== next?.item || old?.item.hash !== next?.item.hash;
        })
        .map(name => ({ entity, name })),
    );
  }

  /** Follows the base as it is now: what is reached for the first time, and what no longer is. */
  followBase(): { readonly gained: readonly Cell[]; readonly lost: readonly Cell[] } {
    const before = this.reached;
    this.reached = this.findReached();
    return {
      gained: [...this.reached].filter(cell => !before.has(cell)),
      lost: [...before].filter(cell => !this.reached.has(cell)),
    };
  }

  /** What reads a value that is overridden, directly or through others. */
  private findReached(): ReadonlySet<Cell> {
    const reached = new Set<Cell>();
    for (const [entity, names] of this.overrides) {
      for (const name of names.keys()) {
        const cell = this.base.get(entity, valueKey(name));
        if (cell) reached.add(cell);
        // A name that the model lacks: whoever looked for it may find it there.
        if (!entity.values.has(name)) for (const user of this.base.dependents.of(onName(name))) reached.add(user);
      }
    }
    for (const cell of reached) for (const user of cell.users) if (user.home === cell.home) reached.add(user);
    return reached;
  }

  /** Whether the overrides reach a cell of the base, also one that was made since they were followed. */
  reaches(cell: Cell): boolean {
    const { late } = this.base;
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

  /** Whether a value is the configuration's own rather than the base's. */
  holds(entity: Entity, key: CellKey): boolean {
    const name = nameOf(key);
    if (name !== null && this.itemOf(entity, name)) return true;
    const cell = this.base.get(entity, key);
    return cell !== undefined && this.reaches(cell);
  }
}
