/**
 * Follows files by what the system tells, and by looking: what it tells is missing on network shares, and differs
 * between systems where files are saved by renaming, deleted, or in folders that come anew.
 */
import { watch, type FSWatcher } from 'node:fs';
import { stat } from 'node:fs/promises';
import { join } from 'node:path';
import { folderOf, isBelow } from '../project/paths.js';

/** Milliseconds without a change until a burst of them is over. */
const QUIET = 100;
/** Milliseconds that a burst may last until it is looked at all the same. */
const LONGEST_BURST = 1_000;
/** Milliseconds between two looks that nothing has asked for. */
const LOOK = 2_000;
/** Milliseconds within which the system is expected to tell what was seen. */
const TOLD_WITHIN = 500;
/** Changes that it may miss in a row. */
const UNTOLD = 2;

/** What is followed, and how it is now. */
export interface Watched {
  readonly root: string;
  /** Folders that are followed with all in them. */
  folders(): Iterable<string>;
  /** Every file that counts, with what tells one state of it from another. */
  snapshot(): Promise<ReadonlyMap<string, string>>;
  /** Calls back with the paths of what changed. */
  changed(paths: readonly string[]): void;
  /** Says that the system does not tell of changes. */
  trouble(message: string): void;
}

/** Follows until the returned function is called; `known` is how files were when they were read. */
export function follow(watched: Watched, known: ReadonlyMap<string, string>): () => void {
  return new Following(watched, known).begin();
}

class Following {
  private readonly watchers = new Map<string, FSWatcher>();
  private timer: NodeJS.Timeout | undefined;
  private stopped = false;
  private looking = false;
  private told = false;
  /** Changes in a row that were seen and not told. */
  private untold = 0;
  /** When the burst of changes began that goes on. */
  private burst: number | undefined;
  private complained = false;

  constructor(
    private readonly watched: Watched,
    private known: ReadonlyMap<string, string>,
  ) {}

  begin(): () => void {
    this.listen();
    // Nobody tells of what changed before.
    this.told = true;
    this.lookIn(QUIET);
    return () => {
      this.stopped = true;
      clearTimeout(this.timer);
      for (const watcher of this.watchers.values()) watcher.close();
    };
  }

  private lookIn(milliseconds: number): void {
    clearTimeout(this.timer);
    if (!this.stopped) this.timer = setTimeout(() => void this.look(), milliseconds);
  }

  private async look(): Promise<void> {
    if (this.looking) return;
    this.looking = true;
    const { told } = this;
    this.told = false;
    this.burst = undefined;
    const next = await this.watched.snapshot();
    this.looking = false;
    if (this.stopped) return;
    const paths = [...new Set([...this.known.keys(), ...next.keys()])]
      .filter(path => this.known.get(path) !== next.get(path))
      .sort();
    this.known = next;
    if (paths.length > 0) {
      if (!told) this.expectWord();
      this.watched.changed(paths);
    }
    this.listen();
    this.lookIn(this.told ? QUIET : LOOK);
  }

  /** What was seen and is not told after all. Once that may be a folder that came anew and is followed only now. */
  private expectWord(): void {
    setTimeout(
      // What was told while this process was busy is heard first.
      () =>
        setImmediate(() => {
          if (this.told) this.untold = 0;
          else if (++this.untold >= UNTOLD && !this.stopped) this.complain('The file system does not tell of changes');
        }),
      TOLD_WITHIN,
    ).unref();
  }

  private listen(): void {
    const folders = new Set(this.watched.folders());
    for (const [folder, watcher] of this.watchers)
      if (!folders.has(folder)) {
        watcher.close();
        this.watchers.delete(folder);
      }
    for (const folder of folders) if (!this.watchers.has(folder)) this.listenTo(folder);
  }

  private listenTo(folder: string): void {
    try {
      const watcher = watch(join(this.watched.root, folder), { recursive: true }, () => {
        this.told = true;
        this.untold = 0;
        this.burst ??= Date.now();
        if (!this.looking) this.lookIn(Math.min(QUIET, Math.max(0, this.burst + LONGEST_BURST - Date.now())));
      });
      watcher.on('error', error => {
        watcher.close();
        this.watchers.delete(folder);
        this.failed(error);
      });
      this.watchers.set(folder, watcher);
    } catch (error) {
      this.failed(error);
    }
  }

  private failed(error: unknown): void {
    const code = error instanceof Error && 'code' in error ? String(error.code) : String(error);
    // A folder that is gone, or not there yet, is looked for.
    if (code !== 'ENOENT') this.complain(`The file system can't tell of changes (${code})`);
  }

  private complain(what: string): void {
    if (this.complained) return;
    this.complained = true;
    this.watched.trouble(`${what}, so files are looked at every ${LOOK / 1000} s.`);
  }
}

/** What tells one state of a file from another; the same for all that are not there. */
export async function stateOf(full: string): Promise<string> {
  try {
    const { mtimeMs, ctimeMs, size, ino } = await stat(full);
    return `${mtimeMs} ${ctimeMs} ${size} ${ino}`;
  } catch {
    return 'absent';
  }
}

/** When a file of this state changed last, in milliseconds; not a number for what is not there. */
export function changedAt(state: string): number {
  return Math.max(...state.split(' ').slice(0, 2).map(Number));
}

/** The folders among `folders` that lie in no other, with those around `files` that lie in none. */
export function outermostFolders(folders: Iterable<string>, files: Iterable<string>): ReadonlySet<string> {
  const all = new Set(folders);
  for (const file of files) all.add(folderOf(file));
  return new Set([...all].filter(folder => ![...all].some(other => other !== folder && isBelow(folder, other))));
}
