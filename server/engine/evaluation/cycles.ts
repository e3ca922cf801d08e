/**
 * Ranks of cells, and cycles among them: a cell ranks above all that it reads, and where that can't be, the cells that
 * need each other are one strongly connected group. Which cells these are is a matter of the graph alone, never of the
 * order in which they were calculated.
 */
import { isSpelledBefore, mark, placeOfCell, State, type Cell, type Cycle } from './cell.js';
import type { Reason } from '../values/value.js';

/** Lifts all that reads a cell above it; true where that leads back to the cell itself. */
export function raiseUsers(cell: Cell): boolean {
  const work: Cell[] = [cell];
  while (work.length > 0) {
    const at = work.pop()!;
    for (const user of usersOf(at)) {
      if (user === cell) return true;
      if (user.rank > at.rank) continue;
      for (const member of user.cycle?.members ?? [user]) member.rank = at.rank + 1;
      work.push(user);
    }
  }
  return false;
}

/** Who reads a cell, or any of the group that it belongs to. */
function usersOf(cell: Cell): Iterable<Cell> {
  const { cycle } = cell;
  if (!cycle) return cell.users;
  return [...cycle.members].flatMap(member => [...member.users].filter(user => !cycle.members.has(user)));
}

/** The group of all cells that a cell needs and that need it. */
export function cycleThrough(cell: Cell): Cycle {
  const above = reachable(cell, at => at.users);
  const below = reachable(cell, at => at.reads);
  const members = new Set([...above].filter(at => below.has(at)));
  return { members, reason: reasonOf(members) };
}

/** What belongs to a cycle is calculated anew, all of it, once one of them is. */
export function dissolve(cell: Cell): void {
  const { cycle } = cell;
  if (!cycle) return;
  for (const member of cycle.members) member.cycle = null;
  for (const member of cycle.members) if (member !== cell) mark(member, State.Elaborate);
  if (!cell.removed) mark(cell, State.Elaborate);
}

function reachable(from: Cell, next: (cell: Cell) => Iterable<Cell>): Set<Cell> {
  const found = new Set<Cell>();
  const work = [from];
  while (work.length > 0) {
    for (const at of next(work.pop()!)) {
      if (found.has(at)) continue;
      found.add(at);
      work.push(at);
    }
  }
  return found;
}

/** The shortest way round from the member that is written first, in the order in which names are read. */
function reasonOf(members: ReadonlySet<Cell>): Reason {
  const first = [...members].reduce((x, y) => (comesBefore(y, x) ? y : x));
  const cameFrom = new Map<Cell, Cell>();
  const work = [first];
  search: for (const at of work) {
    for (const read of [...at.reads].sort((x, y) => (comesBefore(x, y) ? -1 : 1))) {
      if (!members.has(read) || cameFrom.has(read)) continue;
      cameFrom.set(read, at);
      if (read === first) break search;
      work.push(read);
    }
  }
  const way = [first];
  for (let at = cameFrom.get(first)!; at !== first; at = cameFrom.get(at)!) way.unshift(at);
  way.unshift(first);
  return {
    code: 'cycle',
    data: { loop: way.map(cell => cell.path).join(' → ') },
    place: placeOfCell(first),
  };
}

function comesBefore(x: Cell, y: Cell): boolean {
  const [p, q] = [placeOfCell(x)?.owner.placement, placeOfCell(y)?.owner.placement];
  if (!p || !q || (p.file === q.file && p.start === q.start)) return isSpelledBefore(x, y);
  return p.file === q.file ? p.start < q.start : p.file < q.file;
}
