import type { Cell } from './cell.js';

/**
 * Which cells looked a name up. Found when it is first asked for, since the first evaluation asks nothing, and kept up
 * from then on.
 */
export class NameUsers {
  private users: Map<string, Set<Cell>> | null = null;

  constructor(private readonly cells: Iterable<Cell>) {}

  of(name: string): Iterable<Cell> {
    return (this.users ?? this.find())?.get(name) ?? NOBODY;
  }

  add(name: string, cell: Cell): void {
    if (this.users) addTo(this.users, name, cell);
  }

  delete(name: string, cell: Cell): void {
    const users = this.users?.get(name);
    // Names come and go with each letter that is typed.
    if (users?.delete(cell) && users.size === 0) this.users!.delete(name);
  }

  private find(): ReadonlyMap<string, Set<Cell>> | null {
    const users = new Map<string, Set<Cell>>();
    for (const cell of this.cells) for (const name of cell.names) addTo(users, name, cell);
    return users.size > 0 ? (this.users = users) : null;
  }
}

const NOBODY: readonly Cell[] = [];

function addTo(users: Map<string, Set<Cell>>, name: string, cell: Cell): void {
  const known = users.get(name);
  if (known) known.add(cell);
  else users.set(name, new Set([cell]));
}
