/** Random numbers that a seed fixes. */
export class Random {
  constructor(private state: number) {}

  /** In [0, 1). Source: mulberry32, public domain. */
  next(): number {
    this.state = (this.state + 0x6d2b79f5) | 0;
    let t = Math.imul(this.state ^ (this.state >>> 15), 1 | this.state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  }

  between(low: number, high: number): number {
    return low + (high - low) * this.next();
  }

  below(count: number): number {
    return Math.floor(this.next() * count);
  }

  pick<T>(items: readonly T[]): T {
    return items[this.below(items.length)]!;
  }

  chance(share: number): boolean {
    return this.next() < share;
  }
}
