import { State, type Cell } from './cell.js';

/** Cells that are not up to date, in order of rank: what a cell reads is settled before it. */
export class Schedule {
  private buckets: Cell[][] = [];
  private lowest = 0;

  constructor(private readonly settle: (cell: Cell) => void) {}

  add(cell: Cell): void {
    const { rank } = cell;
    (this.buckets[rank] ??= []).push(cell);
    if (rank < this.lowest) this.lowest = rank;
  }

  /** Settles all of them, and those that come meanwhile, one a step. What is not reached stays for the next time. */
  *steps(): Generator<void> {
    this.lowest = 0;
    while (this.lowest < this.buckets.length) {
      const bucket = this.buckets[this.lowest];
      if (!bucket || bucket.length === 0) this.lowest++;
      else yield* this.stepsOf(bucket, this.lowest);
    }
    this.buckets = [];
    this.lowest = 0;
  }

  private *stepsOf(bucket: readonly Cell[], rank: number): Generator<void> {
    this.buckets[rank] = [];
    let reached = 0;
    try {
      for (const cell of bucket) {
        reached++;
        if (cell.removed || cell.state === State.Clean) continue;
        if (cell.rank > rank) this.add(cell);
        else {
          this.settle(cell);
          yield;
        }
      }
    } finally {
      if (reached < bucket.length) this.buckets[rank]!.unshift(...bucket.slice(reached));
    }
  }
}
