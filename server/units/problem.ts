/** Why a text is no unit, said to the engineer, with the text to put in its place where one is likely. */
export interface UnitProblem {
  /**
   * - `syntax`: the text cannot be read as a unit;
   * - `unknown`: a symbol in it is none;
   * - `slip`: it reads as a unit, or nearly, but almost certainly another is meant.
   */
  readonly kind: 'syntax' | 'unknown' | 'slip';
  readonly message: string;
  /** The whole unit text as likely meant. */
  readonly suggestion?: string;
  /** Every likely meaning when there are several, best first. */
  readonly alternatives?: readonly string[];
}
