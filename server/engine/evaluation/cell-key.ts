/**
 * Which of the cells of a block one is. A key is a single string, so that a look into a map makes no object; it is
 * opaque, since only this module knows how it is spelled. No name holds the signs of the others.
 */
import type { ConditionItem, ValueItem } from '../../model/declaration.js';
import type { Entity } from '../../model/namespace.js';

declare const cellKey: unique symbol;
export interface CellKey {
  readonly [cellKey]: true;
}

const ATTRIBUTE = '@';

const made = (spelled: string): CellKey => spelled as unknown as CellKey;

/** Keys of what is counted rather than named, from 0. */
const counted = (kind: string): ((index: number) => CellKey) => {
  const keys: CellKey[] = [];
  return index => (keys[index] ??= made(`${kind} ${index + 1}`));
};

export const valueKey = (name: string): CellKey => made(name);
/** What the language knows of a block, `mass` of a part. */
export const attributeKey = (name: string): CellKey => made(ATTRIBUTE + name);
export const checkKey = counted('check');
export const restrictionKey = counted('restriction');

const CONDITION_KEYS: Readonly<Record<ConditionItem['kind'], (index: number) => CellKey>> = {
  holds: counted('holds'),
  accepts: counted('accepts'),
  least: counted('least'),
};
export const conditionKey = (kind: ConditionItem['kind'], index: number): CellKey => CONDITION_KEYS[kind](index);

/** The value that a block is, rather than one that it has. */
export const OWN_VALUE = valueKey('value');
/** The text in the head of a block. */
export const TITLE = made('the title');

/** Where the value of an item that is written in a block is kept. */
export const keyOfValue = (entity: Entity, item: ValueItem): CellKey =>
  entity.declaration.value === item ? OWN_VALUE : valueKey(item.name);

export const isAttributeKey = (key: CellKey): boolean => spellKey(key).startsWith(ATTRIBUTE);

/** The name of the value that it is of; null where it is of something else. */
export function nameOf(key: CellKey): string | null {
  const spelled = spellKey(key);
  return spelled.startsWith(ATTRIBUTE) || spelled.includes(' ') ? null : spelled;
}

/** A key as a string, which no other cell of the block has. */
export const spellKey = (key: CellKey): string => key as unknown as string;

/** A key as a reader knows it. */
export function printKey(key: CellKey): string {
  if (key === TITLE) return 'title';
  return isAttributeKey(key) ? spellKey(key).slice(ATTRIBUTE.length) : spellKey(key);
}
