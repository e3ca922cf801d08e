/** Values of a library that are to be confirmed, and what the project says that confirms them. */
import { LIBRARY, type ValueItem } from '../model/declaration.js';
import type { Entity } from '../model/namespace.js';
import { saidIn } from '../model/statements.js';
import type { Cell } from './evaluation/cell.js';
import { valueKey } from './evaluation/cell-key.js';
import type { Evaluation } from './evaluation/evaluation.js';
import { nameOf } from './facts.js';
import { imprintOf } from './imprint.js';
import { dayOf } from './values/words.js';

export interface Confirmation {
  readonly entity: Entity;
  /** The value it is about; null where it names none of a library that is to be confirmed. */
  readonly item: ValueItem | null;
  readonly name: string;
  /** What it was taken on, and what it is now; null where none is stated, or none can be had. */
  readonly taken: string | null;
  readonly imprint: string | null;
}

export function confirmationsOf(evaluation: Evaluation): Confirmation[] {
  return evaluation.namespace.ofKind('confirmation').map(entity => {
    const { cell, item } = confirmed(evaluation, entity) ?? NOTHING;
    return {
      entity,
      item,
      name: cell ? nameOf({ entity: cell.entity, item, path: [] }) : '',
      taken: saidIn(entity.declaration, 'imprint'),
      imprint: cell && imprintOf(cell, evaluation.units),
    };
  });
}

/** Whether a confirmation holds: all of it is said, it was given by that day, of the value as it is now. */
function holds(
  { entity, item, taken, imprint }: Confirmation,
  { namespace }: Pick<Evaluation, 'namespace'>,
  asOf: string,
): boolean {
  const day = dayOf(namespace, entity, 'date');
  const isWhole = entity.values.has('source') && entity.values.has('by') && !entity.declaration.unread;
  return item !== null && isWhole && imprint !== null && taken === imprint && day !== null && day <= asOf;
}

/** The values that are confirmed by a day. */
export function confirmedBy(asOf: string, evaluation: Evaluation): ReadonlySet<ValueItem | null> {
  return new Set(
    confirmationsOf(evaluation)
      .filter(each => holds(each, evaluation, asOf))
      .map(({ item }) => item),
  );
}

/** What the value of `confirms` reads, where it is one of a library and says `tbc` as a whole. */
function confirmed(evaluation: Evaluation, confirmation: Entity): Confirmed | null {
  const item = confirmation.values.get('confirms');
  const named = item?.value.kind === 'name' || item?.value.kind === 'member';
  const read = named ? evaluation.cell(confirmation, valueKey('confirms'))?.reads.at(-1) : undefined;
  if (!read?.item || !('value' in read.item)) return null;
  const isOfLibrary = read.item.placement.file.startsWith(LIBRARY) || evaluation.namespace.isOfLibrary(read.entity);
  return isOfLibrary && read.item.annotations.tbc ? { cell: read, item: read.item } : null;
}

interface Confirmed {
  readonly cell: Cell;
  readonly item: ValueItem;
}

const NOTHING = { cell: null, item: null };
