/** The operations of compiled expressions. What each does, and over what, is in `proof/operations.ts`. */

export const enum Op {
  Constant,
  Slot,
  Undetermined,
  Copy,
  Tolerance,
  Reserve,
  Root,
  Low,
  High,
  RssLow,
  RssHigh,
  Lookup,
  Lookup2,
  Add,
  Subtract,
  Multiply,
  Divide,
  Negate,
  Power,
  Square,
  SquareRoot,
  CubeRoot,
  Absolute,
  Minimum,
  Maximum,
  Exp,
  Ln,
  Log10,
  Sin,
  Cos,
  Tan,
  Asin,
  Acos,
  Atan,
  Atan2,
  Floor,
  Ceil,
  Round,
  Sign,
  LessEqual,
  Less,
  Equal,
  And,
  Or,
  Not,
  Select,
  Parameter,
  Remainder,
  /** What rounding drops from a sum of two numbers. */
  Rounding,
  // On the tapes of proofs alone: what varies, and conditions as numbers that are at least zero where they hold.
  Source,
  AtMost,
  Below,
  Same,
  Choose,
  Use,
}

/**
 * What a number varies with, as bits: tolerances, a range that is swept; a reserve is to be proven even if it doesn't.
 */
export const VARIES_WITH_TOLERANCES = 1;
export const VARIES_IN_SWEEP = 2;
export const IS_SOLVED = 4;

/** Relative tolerance of every comparison: inside it two sides count as equal. */
export const COMPARISON_TOLERANCE = 1e-9;

export function nearlyEqual(x: number, y: number): boolean {
  return Math.abs(x - y) <= COMPARISON_TOLERANCE * Math.max(Math.abs(x), Math.abs(y));
}
