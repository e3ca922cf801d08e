/** Asked now and then by long work, which then stops early and returns nothing. */
export interface CancellationToken {
  readonly cancelled: boolean;
}

/** The token of work that nobody can cancel. */
export const NEVER: CancellationToken = Object.freeze({ cancelled: false });

export class CancellationSource {
  private readonly state = { cancelled: false };

  get token(): CancellationToken {
    return this.state;
  }

  cancel(): void {
    this.state.cancelled = true;
  }
}
