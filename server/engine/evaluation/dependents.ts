import type { Dependency } from '../../model/dependency.js';
import type { Cell } from './cell.js';

/**
 * Which cells depend on something. Found when it is first asked for, since the first evaluation asks nothing, and kept
 * up from then on.
 */
export class Dependents {
  private known: Map<Dependency, Set<Cell>> | null = null;

  constructor(private readonly cells: Iterable<Cell>) {}

  of(dependency: Dependency): Iterable<Cell> {
    return (this.known ?? this.find())?.get(dependency) ?? NOBODY;
  }

  add(dependency: Dependency, cell: Cell): void {
    if (this.known) addTo(this.known, dependency, cell);
  }

  delete(dependency: Dependency, cell: Cell): void {
    const users = this.known?.get(dependency);
    // Names come and go with each letter that is typed.
    if (users?.delete(cell) && users.size === 0) this.known!.delete(dependency);
  }

  private find(): ReadonlyMap<Dependency, Set<Cell>> | null {
    const users = new Map<Dependency, Set<Cell>>();
    for (const cell of this.cells) for (const dependency of cell.dependencies) addTo(users, dependency, cell);
    return users.size > 0 ? (this.known = users) : null;
  }
}

const NOBODY: readonly Cell[] = [];

function addTo(cells: Map<Dependency, Set<Cell>>, dependency: Dependency, cell: Cell): void {
  const known = cells.get(dependency);
  if (known) known.add(cell);
  else cells.set(dependency, new Set([cell]));
}
