/** What the process tells its caller. */
export const exitCodes = {
  /** Nothing at or above the chosen severity. */
  clean: 0,
  /** Something is. */
  found: 1,
  /** The input cannot be used, or the tool itself failed. */
  unusable: 2,
} as const;

/** Input that cannot be used; the message is a whole sentence for the engineer. */
export class UnusableInput extends Error {
  override readonly name = 'UnusableInput';
}
