/** Findings by whom they come from and by file. */
import type { Found } from '../findings/index.js';
import { spellKey, type CellKey } from '../engine/evaluation/cell-key.js';

export class FindingStore {
  private readonly byOwner = new Map<string, readonly Found[]>();
  private readonly byFile = new Map<string, Set<string>>();
  /** Cells of which something is told, by the owner that they belong to. */
  private readonly cells = new Map<string, Set<CellKey>>();
  private dirty = new Set<string>();

  set(owner: string, found: readonly Found[]): void {
    const before = this.byOwner.get(owner);
    if (!before && found.length === 0) return;
    for (const file of filesOf(before ?? [])) {
      this.byFile.get(file)?.delete(owner);
      this.dirty.add(file);
    }
    if (found.length === 0) {
      this.byOwner.delete(owner);
      return;
    }
    this.byOwner.set(owner, found);
    for (const file of filesOf(found)) {
      const owners = this.byFile.get(file);
      if (owners) owners.add(owner);
      else this.byFile.set(file, new Set([owner]));
      this.dirty.add(file);
    }
  }

  /** The same for a cell of an owner. */
  setCell(owner: string, cell: CellKey, found: readonly Found[]): void {
    this.set(ownerOf(owner, cell), found);
    const cells = this.cells.get(owner);
    if (found.length === 0) cells?.delete(cell);
    else if (cells) cells.add(cell);
    else this.cells.set(owner, new Set([cell]));
  }

  /** Forgets `owner` and all that belongs below it. */
  dropOwner(owner: string): void {
    this.set(owner, []);
    for (const cell of this.cells.get(owner) ?? []) this.set(ownerOf(owner, cell), []);
    this.cells.delete(owner);
  }

  /** Forgets what belongs to cells of an owner that are there no more. */
  keepCells(owner: string, exists: (cell: CellKey) => boolean): void {
    for (const cell of this.cells.get(owner) ?? []) if (!exists(cell)) this.setCell(owner, cell, []);
  }

  /** Forgets all findings of one configuration. */
  dropConfiguration(name: string): void {
    for (const key of [...this.byOwner.keys()]) if (key.startsWith(`${name} `)) this.set(key, []);
  }

  /** Says that what is told of files may differ. */
  touch(files: Iterable<string>): void {
    for (const file of files) this.dirty.add(file);
  }

  of(file: string): Found[] {
    return [...(this.byFile.get(file) ?? [])].flatMap(owner =>
      this.byOwner.get(owner)!.filter(found => found.place.owner.placement.file === file),
    );
  }

  takeDirty(): ReadonlySet<string> {
    const dirty = this.dirty;
    this.dirty = new Set();
    return dirty;
  }
}

const ownerOf = (owner: string, cell: CellKey): string => `${owner}#${spellKey(cell)}`;

function filesOf(found: readonly Found[]): Set<string> {
  return new Set(found.map(entry => entry.place.owner.placement.file));
}
