/** One value, check, condition or text of one model, with what it came to and what it rests on. */
import { isCalculated } from '../../language/index.js';
import type { CheckItem, ConditionItem, RestrictionItem, TextItem, ValueItem } from '../../model/declaration.js';
import type { Dependency } from '../../model/dependency.js';
import type { Entity } from '../../model/namespace.js';
import type { CheckPlan } from '../elaboration/check.js';
import type { Elaborator } from '../elaboration/elaborate.js';
import type { Problem } from '../elaboration/elaboration.js';
import { POISON, type Place, type Reason, type Value } from '../values/value.js';
import { isAttributeKey, nameOf, printKey, spellKey, type CellKey } from './cell-key.js';

export const enum State {
  Clean,
  Run,
  Elaborate,
}

export type CellItem = ValueItem | CheckItem | ConditionItem | TextItem | RestrictionItem | null;

/** Most cells lack most of these: they share the empty ones. */
export const NO_CELLS: ReadonlySet<Cell> = new Set();
export const NO_READS: readonly Cell[] = [];
export const NO_GUARDS: Elaborator['guarded'] = [];
export const NO_BINDERS: ReadonlySet<number> = new Set();
export const NO_OUTPUTS: readonly number[] = [];
export const NO_DEPENDENCIES: readonly Dependency[] = [];
export const NO_ENTITIES: readonly Entity[] = [];
export const NO_CALLS: readonly ValueItem[] = [];
export const NO_PROBLEMS: readonly Problem[] = [];

/** Adds to a list while its cell is elaborated; the shared empty one is left as it is. */
export const push = <T>(list: readonly T[], item: T): readonly T[] => {
  if (list.length === 0) return [item];
  (list as T[]).push(item);
  return list;
};
export const grow = <T>(set: ReadonlySet<T>, none: ReadonlySet<T>, item: T): ReadonlySet<T> =>
  set === none ? new Set([item]) : (set as Set<T>).add(item);

/** Cells that need each other, and why they have no value. */
export interface Cycle {
  readonly members: ReadonlySet<Cell>;
  readonly reason: Reason;
}

export class Cell {
  value: Value = POISON;
  plan: CheckPlan | null = null;
  problems: readonly Problem[] = NO_PROBLEMS;
  guarded: Elaborator['guarded'] = NO_GUARDS;
  usedBinders: ReadonlySet<number> = NO_BINDERS;
  outputs: readonly number[] = NO_OUTPUTS;
  start = 0;
  /** Where its code begins, behind its constants. */
  code = 0;
  end = 0;
  rank = 0;
  state: State = State.Elaborate;
  busy = false;
  /** The cells that need it and that it needs, where there are any. */
  cycle: Cycle | null = null;
  removed = false;
  reads: readonly Cell[] = NO_READS;
  users: ReadonlySet<Cell> = NO_CELLS;
  /** Cells whose inside it repeats. */
  repeats: ReadonlySet<Cell> = NO_CELLS;
  dependencies: readonly Dependency[] = NO_DEPENDENCIES;
  /** Parts and requirements where it looked for names, beside those that it stands in. */
  lookedIn: readonly Entity[] = NO_ENTITIES;
  /** Formulas whose bodies it holds. */
  calls: readonly ValueItem[] = NO_CALLS;
  demanded: Map<number, number> | null = null;
  /** Whether its structure is the same over everything that varies. */
  steady = true;
  /** Grows when the cell's numbers or structure changed; what is derived from it can be kept until then. */
  revision = 0;
  structure = 0;
  /** Grows when its code is another, was made or is gone; a plain number has none. */
  recoded = 0;
  /** Grows when what its calculation rests on may be something else: other values read, or other things said of it. */
  foundation = 0;
  /** Its item as it was when it was elaborated. */
  told: CellItem = null;

  constructor(
    readonly home: CellHome,
    readonly entity: Entity,
    readonly key: CellKey,
    public item: CellItem,
    public scope: Entity,
    readonly calculate: (elaborator: Elaborator, cell: Cell) => Value,
  ) {}

  /** As a reader knows it. */
  get path(): string {
    return inside(this.entity, printKey(this.key));
  }
}

/** Whether it calculates what the language knows of a block (`tray.mass`), which is made when first asked for. */
export function isAttribute(cell: Cell): boolean {
  return isAttributeKey(cell.key);
}

/** Whether a cell comes before another of the same place: any order, but always the same. */
export function isSpelledBefore(x: Cell, y: Cell): boolean {
  return inside(x.entity, spellKey(x.key)) < inside(y.entity, spellKey(y.key));
}

/** Whether a cell comes to something: words and references are read where something asks for them. */
export function holdsCalculated({ entity, key }: Cell): boolean {
  const name = nameOf(key);
  return name === null || isCalculated(entity.kind, name);
}

const inside = ({ path }: Entity, name: string): string => (path ? `${path}.${name}` : name);

/** Whether something that is written reads the cell: a report may have asked for what nothing in the model does. */
export function isNeeded(cell: Cell): boolean {
  const above = new Set([cell]);
  for (const at of above) {
    if (!isAttribute(at)) return true;
    for (const user of at.users) above.add(user);
  }
  return false;
}

/** The evaluation that a cell belongs to, as those that share the cell see it. */
export interface CellHome {
  /** Says that a cell is not up to date, and how far. */
  mark(cell: Cell, state: State): void;
  /** Brings a cell up to date. */
  settle(cell: Cell): void;
  /** Sees to it that a new cell is calculated. */
  enqueue(cell: Cell): void;
  /** Says that the result of a cell may differ. */
  touch(cell: Cell): void;
  /** Says that a cell is gone. */
  forget(cell: Cell): void;
}

export function mark(cell: Cell, state: State): void {
  cell.home.mark(cell, state);
}

/** A number inside a structured result, `ultimate.x`. */
export class SlotOwner {
  constructor(
    readonly cell: Cell,
    readonly path: readonly string[],
  ) {}
}

/** One more than the highest of those that a cell reads. */
export function rankOver(cells: readonly Cell[]): number {
  let rank = 0;
  for (const cell of cells) if (cell.rank >= rank) rank = cell.rank + 1;
  return rank;
}

export function placeOfCell(cell: Cell): Place | null {
  return cell.item ? { owner: cell.item, id: 'id' in cell.item ? cell.item.id : 0 } : { owner: cell.entity, id: 2 };
}

/** Whether a scope is an entity or stands inside it. */
export function isWithin(scope: Entity, entity: Entity): boolean {
  for (let at: Entity | null = scope; at; at = at.parent) if (at === entity) return true;
  return false;
}

/**
 * Whether a cell would find a value of one of these: it stands inside, or looks from inside, or asked it; an instance
 * looks where its kind stands, too.
 */
export function looksInto(cell: Cell, entities: ReadonlySet<Entity>): boolean {
  const reaches = (from: Entity): boolean => {
    for (let at: Entity | null = from; at; at = at.parent) {
      if (entities.has(at)) return true;
      for (let outer = at.base?.parent ?? null; outer; outer = outer.parent) if (entities.has(outer)) return true;
    }
    return false;
  };
  return reaches(cell.scope) || cell.lookedIn.some(reaches);
}
