/** Who reads whom: the edges between cells. */
import { grow, isAttribute, isNeeded, NO_CELLS, NO_READS, push, type Cell } from './cell.js';

/** Notes that a cell reads another. */
export function connect(reader: Cell, read: Cell): void {
  if (read.users.has(reader)) return;
  if (isAttribute(read) && !isNeeded(read)) touchAttributes(read);
  reader.reads = push(reader.reads, read);
  read.users = grow(read.users, NO_CELLS, reader);
}

/** Lets go of all that a cell reads. */
export function disconnect(cell: Cell): void {
  for (const read of cell.reads) {
    (read.users as Set<Cell>).delete(cell);
    if (isAttribute(read) && !isNeeded(read)) touchAttributes(read);
  }
  cell.reads = NO_READS;
  cell.repeats = NO_CELLS;
}

/** What is wrong with an attribute is told once something needs it, and no longer than that. */
function touchAttributes(cell: Cell): void {
  const work = new Set([cell]);
  for (const at of work) {
    at.home.touch(at);
    for (const read of at.reads) if (isAttribute(read)) work.add(read);
  }
}

/** All that reads a cell is looked at again, since what it is told of may stand elsewhere, though no number moved. */
export function touchDownstream(cell: Cell): void {
  for (const at of downstream(cell)) at.home.touch(at);
}

/** What is said about a value (basis, `tbc`, source) travels to everything that reads it. */
export function moveDownstream(cell: Cell): void {
  for (const at of downstream(cell)) {
    at.home.touch(at);
    at.foundation++;
  }
}

function downstream(cell: Cell): ReadonlySet<Cell> {
  const found = new Set([cell]);
  for (const at of found) for (const user of at.users) found.add(user);
  return found;
}
