const FIRST_SIZE = 256;

/**
 * Entries of a builder by their hash; whoever looks compares the entries with the same place. Open addressing, without
 * an object an entry.
 */
export class EntryTable {
  /** Each entry and its hash; an entry is stored as one more, so that 0 is a free slot. */
  private entries = new Int32Array(FIRST_SIZE);
  private hashes = new Int32Array(FIRST_SIZE);
  private size = 0;

  /** The slot where entries with a hash begin. */
  first(hash: number): number {
    return (hash ^ (hash >>> 15)) & (this.entries.length - 1);
  }

  next(slot: number): number {
    return (slot + 1) & (this.entries.length - 1);
  }

  /** The entry in a slot; -1 behind the last of those that may be meant. */
  at(slot: number): number {
    return this.entries[slot]! - 1;
  }

  add(entry: number, hash: number): void {
    if (++this.size * 2 > this.entries.length) this.refill(this.entries.length * 2, () => true);
    this.put(entry, hash);
  }

  keep(wanted: (entry: number) => boolean): void {
    this.refill(this.entries.length, wanted);
  }

  clear(): void {
    if (this.size === 0) return;
    this.size = 0;
    if (this.entries.length === FIRST_SIZE) this.entries.fill(0);
    else this.entries = new Int32Array(FIRST_SIZE);
    if (this.hashes.length !== FIRST_SIZE) this.hashes = new Int32Array(FIRST_SIZE);
  }

  private put(entry: number, hash: number): void {
    let slot = this.first(hash);
    while (this.entries[slot] !== 0) slot = this.next(slot);
    this.entries[slot] = entry + 1;
    this.hashes[slot] = hash;
  }

  private refill(size: number, wanted: (entry: number) => boolean): void {
    const { entries, hashes } = this;
    this.entries = new Int32Array(size);
    this.hashes = new Int32Array(size);
    this.size = 0;
    for (let slot = 0; slot < entries.length; slot++) {
      const entry = entries[slot]! - 1;
      if (entry < 0 || !wanted(entry)) continue;
      this.size++;
      this.put(entry, hashes[slot]!);
    }
  }
}
