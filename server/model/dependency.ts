/**
 * What an elaboration depends on beside the values it reads. A single opaque string each, so that sets of them are
 * cheap; only this module knows how it is spelled. No name begins with the sign of the others.
 */
declare const dependency: unique symbol;
export interface Dependency {
  readonly [dependency]: true;
}

const ROWS = '*rows ';
const made = (spelled: string): Dependency => spelled as unknown as Dependency;

/** What a simple name stands for. */
export const onName = (name: string): Dependency => made(name);
/** Which blocks of a kind there are, and their order. */
export const onBlocks = (kind: string): Dependency => made(`*${kind}`);
/** The rows of a data file, by the key of the block that reads it. */
export const onRows = (block: string): Dependency => made(ROWS + block);

/** Which values a block has, whatever they are called. */
export const ON_ANY_VALUE = made('*values');
/** Which names there are, where one is missing. */
export const ON_ANY_NAME = made('*names');
/** Which slots a part has, whatever they are called. */
export const ON_SLOTS = made('*slot');
/** The units that the model declares. */
export const ON_UNITS = made('*unit');

/** The key of the block whose rows it is; null of anything else. */
export function blockOfRows(on: Dependency): string | null {
  const spelled = on as unknown as string;
  return spelled.startsWith(ROWS) ? spelled.slice(ROWS.length) : null;
}
