/** Findings by whom they come from and by file. */
import type { Found } from '../findings/index.js';

export class FindingStore {
  private readonly byOwner = new Map<string, readonly Found[]>();
  private readonly byFile = new Map<string, Set<string>>();
  /** Owners `entity#cell` by their entity. */
  private readonly groups = new Map<string, Set<string>>();
  private dirty = new Set<string>();

  set(owner: string, found: readonly Found[]): void {
    const before = this.byOwner.get(owner);
    if (!before && found.length === 0) return;
    const hash = owner.indexOf('#');
    if (!before && hash >= 0) {
      const group = this.groups.get(owner.slice(0, hash));
      if (group) group.add(owner);
      else this.groups.set(owner.slice(0, hash), new Set([owner]));
    }
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

  /** Forgets `owner` and all that belongs below it. */
  dropOwner(owner: string): void {
    this.set(owner, []);
    for (const key of this.groups.get(owner) ?? []) this.set(key, []);
    this.groups.delete(owner);
  }

  /** Forgets what belongs to cells of an owner that are there no more. */
  keepCells(owner: string, exists: (cell: string) => boolean): void {
    const group = this.groups.get(owner);
    if (!group) return;
    for (const key of [...group]) {
      if (exists(key.slice(owner.length + 1))) continue;
      this.set(key, []);
      group.delete(key);
    }
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

function filesOf(found: readonly Found[]): Set<string> {
  return new Set(found.map(entry => entry.place.owner.placement.file));
}
