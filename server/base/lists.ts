/** Empty lists that are kept share this one. */
const EMPTY: readonly never[] = Object.freeze([]);

/** A list as it is kept for long: without the spare room that pushing to it left, which is most of a short one. */
export function compact<T>(list: readonly T[]): readonly T[] {
  return list.length === 0 ? EMPTY : list.slice();
}
