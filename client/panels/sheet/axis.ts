/**
 * The one axis that all margin bars stand on: the same place for the same margin in every row. Logarithmic beyond a few
 * hundredths on both sides of zero, so that ±0.05 is seen beside +40.
 */
export const BAR = { width: 92, height: 14, zero: 30 };
/** Margins are drawn from total failure up to this. */
const LARGEST = 50;
const SMALLEST = -1;
/** Where the axis turns from linear to logarithmic. */
const TURN = 0.05;
/** Ends clear of the edge. */
const EDGE = 2;

export const TICKS: readonly (readonly [number, string])[] = [
  [-1, ''],
  [-0.1, ''],
  [0, '0'],
  [0.1, ''],
  [1, '1'],
  [10, '10'],
];

/** Pixels from the left of a bar. */
export function placeOf(margin: number): number {
  const bounded = Math.max(SMALLEST, Math.min(LARGEST, margin));
  const reach = Math.log1p(Math.abs(bounded) / TURN) / Math.log1p(LARGEST / TURN);
  return BAR.zero + Math.sign(bounded) * reach * (BAR.width - BAR.zero - EDGE);
}
