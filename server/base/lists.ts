/** Empty lists that are kept share this one. */
const EMPTY: readonly never[] = Object.freeze([]);

/** A list as it is kept for long: without the spare room that pushing to it left, which is most of a short one. */
export function compact<T>(list: readonly T[]): readonly T[] {
  return list.length === 0 ? EMPTY : list.slice();
}

/** By bisection, the first index below `length` for which `holds` and then holds for all that follow; else `length`. */
export function firstIndex(length: number, holds: (index: number) => boolean): number {
  let low = 0;
  let high = length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (holds(middle)) high = middle;
    else low = middle + 1;
  }
  return low;
}

/** `map` of a tuple, which has as many afterwards. */
export function mapTuple<T extends readonly unknown[], R>(
  tuple: T,
  map: (item: T[number], i: number) => R,
): { readonly [K in keyof T]: R } {
  return tuple.map(map) as { readonly [K in keyof T]: R };
}
