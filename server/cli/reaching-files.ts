/** The files of a workspace folder, and those of folders outside of it that the user has allowed. */
import { relative, resolve, sep } from 'node:path';
import { URI } from 'vscode-uri';
import { isOutside, isSource } from '../project/paths.js';
import type { Day } from '../project/day.js';
import type { Unreadable, WorkspaceFiles } from '../lsp/workspace.js';
import { dayOf } from './day.js';
import { NodeFiles, realPath } from './node-files.js';

/** A path as the files of one folder know it. */
interface Reached {
  readonly files: NodeFiles;
  readonly path: string;
}

export class ReachingFiles implements WorkspaceFiles {
  private readonly outer = new Map<string, NodeFiles>();

  /** `allowed`: folders of this machine, of which there may be others each time. */
  constructor(
    private readonly own: NodeFiles,
    private readonly allowed: () => readonly string[],
  ) {}

  get address(): string {
    return URI.file(this.own.root).toString();
  }

  async sources(): Promise<ReadonlyMap<string, string | Unreadable>> {
    const read = await Promise.all((await this.own.sources()).paths.map(path => this.own.readText(path)));
    return new Map(read.map(file => [file.path, 'message' in file ? file : file.text]));
  }

  async library(path: string): Promise<{ sources: ReadonlyMap<string, string | Unreadable> } | { message: string }> {
    const reached = await this.reach(path);
    if ('message' in reached) return reached;
    const found = await reached.files.library(reached.path);
    if ('message' in found) return found;
    const unreadable = found.problems.filter(problem => isSource(problem.path));
    const sources = new Map<string, string | Unreadable>();
    for (const file of [...found.texts, ...unreadable])
      sources.set(backFrom(file.path, reached, path), 'message' in file ? file : file.text);
    return { sources };
  }

  async text(path: string): Promise<string | Unreadable | null> {
    const reached = await this.reach(path);
    if ('message' in reached) return null;
    const file = await reached.files.readText(reached.path);
    if (!('message' in file)) return file.text;
    return (await reached.files.exists(reached.path)) ? file : null;
  }

  async bytes(path: string): Promise<Uint8Array | { readonly message: string }> {
    const reached = await this.reach(path);
    if ('message' in reached) return reached;
    const file = await reached.files.readBytes(reached.path);
    return 'message' in file ? file : file.bytes;
  }

  async exists(path: string): Promise<boolean> {
    const reached = await this.reach(path);
    return !('message' in reached) && reached.files.exists(reached.path);
  }

  day(folder: string): Promise<Day> {
    return dayOf(resolve(this.own.root, folder));
  }

  async spelling(path: string): Promise<string> {
    const reached = await this.reach(path);
    if ('message' in reached) return path;
    const spelt = await reached.files.spelling(reached.path);
    return spelt === reached.path ? path : this.backTo(reached.files, spelt);
  }

  watch(changed: (paths: readonly string[]) => void, trouble: (message: string) => void): () => void {
    const stops = [this.own.watch('', changed, trouble)];
    this.follow = files => {
      stops.push(files.watch(null, paths => changed(paths.map(path => this.backTo(files, path))), trouble));
    };
    for (const files of this.outer.values()) this.follow(files);
    return () => {
      this.follow = undefined;
      for (const stop of stops) stop();
    };
  }

  /** Begins to follow what is read of another folder. */
  private follow: ((files: NodeFiles) => void) | undefined;

  /** A path of other files as seen from the folder. */
  private backTo(files: NodeFiles, path: string): string {
    return relative(this.own.root, resolve(files.root, path)).split(sep).join('/');
  }

  private async reach(path: string): Promise<Reached | { readonly message: string }> {
    if (!isOutside(path)) return { files: this.own, path };
    const full = resolve(this.own.root, path);
    const real = await realPath(full).catch(() => full);
    for (const folder of this.allowed()) {
      const known = this.outer.get(folder);
      const files = known ?? (await NodeFiles.open(folder));
      if (!files) continue;
      if (!known) {
        this.outer.set(folder, files);
        this.follow?.(files);
      }
      const inside = relative(files.root, real).split(sep).join('/');
      if (!isOutside(inside) && resolve(files.root, inside) === real) return { files, path: inside };
    }
    return {
      message: `${path} lies outside of the folder that is open. Open the folder ${full} beside it, or name it in the setting gusset.libraryFolders`,
    };
  }
}

/** The path of a file as who asked for `path` knows it. */
function backFrom(file: string, reached: Reached, path: string): string {
  if (file === reached.path) return path;
  return `${path}/${reached.path === '' ? file : file.slice(reached.path.length + 1)}`;
}
