/** What a cell came to: its code and its numbers in the arena, and who has to follow. */
import { compact } from '../../base/index.js';
import type { Arena } from '../values/arena.js';
import type { Problem } from '../elaboration/elaboration.js';
import { mapNodes, sameShape, type Value } from '../values/value.js';
import {
  mark,
  NO_GUARDS,
  NO_OUTPUTS,
  NO_PROBLEMS,
  placeOfCell,
  rankOver,
  SlotOwner,
  State,
  type Cell,
  type CellItem,
  type Cycle,
} from './cell.js';
import { cycleThrough, raiseUsers } from './cycles.js';
import { moveDownstream, touchDownstream } from './edges.js';

/** What elaborating a cell made: entries of the arena, and its result in terms of the builder that they come from. */
export interface Made {
  readonly start: number;
  /** Where the code begins, behind its constants. */
  readonly code: number;
  readonly end: number;
  readonly problems: readonly Problem[];
  readonly value: Value;
  readonly relocate: (node: number) => number;
}

/** Takes over a cell's new code and result, and marks what reads it. */
export function conclude(arena: Arena, cell: Cell, { start, code, end, problems, value, relocate }: Made): void {
  // It came to belong to a cycle while it was calculated: only now is all known that it reads.
  for (const member of cell.cycle?.members ?? []) member.cycle = null;
  if (end > code || cell.end > cell.code) cell.recoded++;
  cell.start = start;
  cell.code = code;
  cell.end = end;
  cell.problems = problems.length === 0 ? NO_PROBLEMS : problems;
  const before = cell.value;
  const variations = cell.outputs.map(slot => arena.tolerant[slot]!);
  const published = publish(arena, cell, value, relocate);
  cell.value = published.value;
  cell.reads = compact(cell.reads);
  cell.dependencies = compact(cell.dependencies);
  cell.lookedIn = compact(cell.lookedIn);
  cell.calls = compact(cell.calls);
  cell.rank = rankOver(cell.reads);
  const variesOtherwise = cell.outputs.some((slot, i) => arena.tolerant[slot] !== variations[i]);
  cell.state = State.Clean;
  cell.revision++;
  cell.structure++;
  cell.home.touch(cell);
  if (variesOtherwise || !sameShape(before, cell.value)) markUsers(cell, State.Elaborate);
  else if (published.changed) markUsers(cell, State.Run);
  for (const user of cell.users) if (user.repeats.has(cell)) mark(user, State.Elaborate);
  if (raiseUsers(cell)) closeCycle(arena, cycleThrough(cell));
  if (cell.item !== cell.told && cell.structure > 1)
    if (saysTheSame(cell.told, cell.item)) touchDownstream(cell);
    else moveDownstream(cell);
  cell.told = cell.item;
}

/** Whether an item that stands in the place of another says nothing else of its value, as far as can be seen soon. */
function saysTheSame(before: CellItem, next: CellItem): boolean {
  return isPlain(before) && isPlain(next);
}

/** Nothing is said of it, or of an entry of it. */
function isPlain(item: CellItem): boolean {
  return (
    item !== null &&
    'annotations' in item &&
    item.kind !== 'check' &&
    item.value.kind !== 'record' &&
    Object.keys(item.annotations).length === 0
  );
}

/** Takes over the numbers that a run of its code gave, and marks what reads those that are others. */
export function publishNumbers(arena: Arena, cell: Cell): void {
  let changed = false;
  for (const slot of cell.outputs) if (arena.refreshSlot(slot)) changed = true;
  if (changed) markUsers(cell, State.Run);
}

/** What a cell rests on is something else: so it is for all that reads it, though no number may have moved. */
export function moveFoundation(cell: Cell): void {
  cell.foundation++;
  if (cell.structure > 1) moveDownstream(cell);
}

function markUsers(cell: Cell, state: State): void {
  for (const user of cell.users) mark(user, state);
}

/** Gives every number of a result a slot that stays, so that users' code stays valid. */
function publish(
  arena: Arena,
  cell: Cell,
  value: Value,
  relocate: (node: number) => number,
): { readonly value: Value; readonly changed: boolean } {
  const old = cell.outputs;
  const outputs: number[] = [];
  let changed = false;
  const published = mapNodes(value, (node, _owner, path) => {
    const index = outputs.length;
    const slot = old[index] ?? arena.allocate(1);
    outputs.push(slot);
    const moved = arena.fillSlot(slot, relocate(node), path.length === 0 ? cell : new SlotOwner(cell, path));
    if (moved || index >= old.length) changed = true;
    return slot;
  });
  for (const slot of old.slice(outputs.length)) arena.free(slot, 1);
  cell.outputs = compact(outputs);
  return { value: published, changed };
}

/** All members of a cycle are undetermined for one reason, whichever of them was calculated first. */
function closeCycle(arena: Arena, cycle: Cycle): void {
  const members = [...cycle.members];
  const outside = members.flatMap(member => [...member.reads]).filter(read => !cycle.members.has(read));
  const rank = rankOver(outside);
  for (const member of members) {
    arena.free(member.start, member.end - member.start);
    for (const slot of member.outputs) arena.free(slot, 1);
    member.recoded++;
    member.start = member.code = member.end = 0;
    member.outputs = NO_OUTPUTS;
    member.plan = null;
    member.guarded = NO_GUARDS;
    member.demanded = null;
    member.value = { kind: 'poison', reason: cycle.reason };
    member.problems = [{ code: 'cycle', place: placeOfCell(member) ?? cycle.reason.place!, data: cycle.reason.data }];
    member.cycle = cycle;
    member.rank = rank;
    member.state = State.Clean;
    member.revision++;
    member.structure++;
    member.home.touch(member);
  }
  for (const member of members)
    for (const user of member.users) if (!cycle.members.has(user)) mark(user, State.Elaborate);
  raiseUsers(members[0]!);
}
