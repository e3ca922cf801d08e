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

  /** Settles all of them, and those that come meanwhile. */
  run(): void {
    this.lowest = 0;
    while (this.lowest < this.buckets.length) {
      const rank = this.lowest;
      const bucket = this.buckets[rank];
      if (!bucket || bucket.length === 0) {
        this.lowest++;
        continue;
      }
      this.buckets[rank] = [];
      for (const cell of bucket) {
        if (cell.removed || cell.state === State.Clean) continue;
        if (cell.rank > rank) this.add(cell);
        else this.settle(cell);
      }
    }
    this.buckets = [];
    this.lowest = 0;
  }
}
