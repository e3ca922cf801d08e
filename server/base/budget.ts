/** Work that may be done for one item. What would grow without end stops at it, with a finding at the item. */

/** More than the budget allows was asked for. */
export class OverBudget extends Error {}

export class Budget {
  private spent = 0;

  constructor(readonly most: number) {}

  /** Throws `OverBudget` where too much is spent. */
  spend(steps: number): void {
    this.spent += steps;
    if (this.spent > this.most) throw new OverBudget();
  }

  get used(): number {
    return this.spent;
  }
}

/** Whether an error says that a text asks for more work than is done, or is nested deeper than the stack. */
export function isTooMuch(error: unknown): boolean {
  return error instanceof OverBudget || error instanceof RangeError;
}
