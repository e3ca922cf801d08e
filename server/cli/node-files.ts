import { randomBytes } from 'node:crypto';
import type { Dirent, Stats } from 'node:fs';
import { realpathSync } from 'node:fs';
import { open, readFile, readdir, readlink, realpath, rename, rm, stat, writeFile } from 'node:fs/promises';
import { basename, dirname, isAbsolute, join, relative, resolve, sep } from 'node:path';
import { troubleOnWindows } from '../base/index.js';
import { decodeText } from '../project/data-files/decode-text.js';
import { changedAt, follow, outermostFolders, stateOf } from './file-watch.js';
import { foldedPath, isBelow, isPassedOver, isSource } from '../project/paths.js';

export interface FileText {
  /** Relative to the workspace, with forward slashes. */
  readonly path: string;
  readonly text: string;
}

export interface FileBytes {
  readonly path: string;
  readonly bytes: Uint8Array;
}

export interface FileProblem {
  readonly path: string;
  /** One-based, where a line is to blame. */
  readonly line: number | null;
  /** A whole sentence for the engineer. */
  readonly message: string;
}

export interface SourceList {
  readonly paths: readonly string[];
  /** What was passed over and why. */
  readonly problems: readonly FileProblem[];
}

/** Milliseconds after which a folder that changed is taken to have settled. */
const SETTLED = 2_000;
const sourceSizeLimit = 16 * 2 ** 20;
const dataSizeLimit = 256 * 2 ** 20;

/** The files of a workspace, read and never left: no path and no link leads out of its root. */
export class NodeFiles {
  private constructor(readonly root: string) {}

  /** Undefined where `root` is no folder. */
  static async open(root: string): Promise<NodeFiles | undefined> {
    const real = await realPath(root).catch(() => undefined);
    if (real === undefined || !(await isDirectory(real))) return undefined;
    return new NodeFiles(real);
  }

  /** All `.gus` files at and below `folder`, sorted; hidden folders and `node_modules` are passed over. */
  async sources(folder = ''): Promise<SourceList> {
    const paths: string[] = [];
    const problems: FileProblem[] = [];
    this.list(folder);
    await this.collect(folder, paths, problems);
    return { paths: paths.sort(), problems };
  }

  /** Texts of a source, or of all in a folder, wherever in the workspace; or why there are none. */
  async library(written: string): Promise<{ texts: FileText[]; problems: FileProblem[] } | { message: string }> {
    const path = await this.spelling(written);
    const full = resolve(this.root, path);
    const outside = { message: `${path} lies outside the workspace ${this.root}. Say with --root how far it reaches` };
    if (!isWithin(this.root, full)) return outside;
    const real = await realPath(full).catch(() => undefined);
    if (real === undefined) {
      this.asked.set(path, await stateOf(full));
      return { message: `there is no ${path}` };
    }
    if (!isWithin(this.root, real)) return outside;
    const isFolder = await isDirectory(real);
    if (!isFolder && !isSource(path)) return { message: `${path} is no .gus file` };
    const list = isFolder ? await this.sources(path) : { paths: [path], problems: [] };
    const texts: FileText[] = [];
    const problems = [...list.problems];
    for (const each of list.paths) {
      const file = await this.readText(each);
      if ('message' in file) problems.push(file);
      else texts.push(file);
    }
    return { texts, problems };
  }

  async readText(path: string): Promise<FileText | FileProblem> {
    const file = await this.read(path, sourceSizeLimit);
    if ('message' in file) return file;
    const decoded = decodeText(file.bytes);
    if ('message' in decoded)
      return { path: file.path, line: decoded.line, message: `${file.path} ${decoded.message}` };
    return { path: file.path, text: decoded.text };
  }

  /** A data file that a source refers to. */
  readBytes(path: string): Promise<FileBytes | FileProblem> {
    return this.read(path, dataSizeLimit);
  }

  /**
   * A path as the file system spells it, where it is spelt otherwise by case or by how accents are composed alone: some
   * systems find it so and others don't.
   */
  async spelling(path: string): Promise<string> {
    if (isWithin(this.root, resolve(this.root, path)) && path !== '') {
      const names: string[] = [];
      for (const name of toPath(relative(this.root, resolve(this.root, path))).split('/')) {
        const entries = await this.namesIn(join(this.root, ...names));
        const alike = entries.includes(name) ? [name] : entries.filter(each => foldedPath(each) === foldedPath(name));
        if (alike.length !== 1) return path;
        names.push(alike[0]!);
      }
      return names.join('/');
    }
    return path;
  }

  /** Names in a folder, kept while it stays the same: thousands of cited files may lie in one. */
  private async namesIn(folder: string): Promise<readonly string[]> {
    const state = await stateOf(folder);
    const known = this.names.get(folder);
    if (known?.state === state) return known.names;
    const names = await readdir(folder).catch((): string[] => []);
    // What has only just changed may change again within the same tick of the file system's clock.
    if (Date.now() - changedAt(state) > SETTLED) this.names.set(folder, { state, names });
    return names;
  }

  private readonly names = new Map<string, { readonly state: string; readonly names: readonly string[] }>();

  /** Whether a path within the workspace leads to a file, however it is spelt. */
  async exists(written: string): Promise<boolean> {
    const path = await this.found(written);
    const full = resolve(this.root, path);
    if (!isWithin(this.root, full) || troubleHere(path) !== null) return false;
    this.asked.set(path, await stateOf(full));
    const real = await realPath(full).catch(() => undefined);
    return real !== undefined && isWithin(this.root, real) && ((await thereAt(real))?.isFile() ?? false);
  }

  /**
   * Calls back with the paths of what changed of all that was read, looked for or listed, and of the sources of a
   * folder if there is one, once a burst of changes is over. Returns how to stop.
   */
  watch(
    folder: string | null,
    onChange: (paths: readonly string[]) => void,
    onTrouble: (message: string) => void = () => undefined,
  ): () => void {
    if (folder !== null) this.list(folder);
    // What nobody has read yet has changed, however short a time it is there.
    return follow(
      {
        root: this.root,
        folders: () => outermostFolders(this.listed, this.asked.keys()),
        snapshot: () => this.snapshot(),
        changed: onChange,
        trouble: onTrouble,
      },
      new Map(this.asked),
    );
  }

  /** Files that were read or looked for, with how they were then. */
  private readonly asked = new Map<string, string>();
  /** Folders whose sources were listed. */
  private readonly listed = new Set<string>();

  /** Notes that a folder was listed, where that of a folder around it does not hold it. */
  private list(folder: string): void {
    const holds = (other: string): boolean =>
      isBelow(folder, other) && !folder.slice(other.length).split('/').some(isPassedOver);
    if (![...this.listed].some(holds)) this.listed.add(folder);
  }

  private async snapshot(): Promise<ReadonlyMap<string, string>> {
    const paths = new Set(this.asked.keys());
    for (const folder of this.listed) {
      const sources: string[] = [];
      await this.collect(folder, sources, []);
      for (const path of sources) paths.add(path);
    }
    const states = await Promise.all(
      [...paths].map(async path => [path, await stateOf(join(this.root, path))] as const),
    );
    return new Map(states);
  }

  private async collect(folder: string, paths: string[], problems: FileProblem[]): Promise<void> {
    let entries: Dirent[];
    try {
      entries = await readdir(join(this.root, folder), { withFileTypes: true });
    } catch (error) {
      problems.push(problemOf(toPath(folder) || '.', error));
      return;
    }
    for (const entry of entries) {
      const path = toPath(join(folder, entry.name));
      if (isPassedOver(entry.name)) continue;
      if (entry.isDirectory()) await this.collect(path, paths, problems);
      else if (isSource(entry.name)) paths.push(path);
      else if (entry.isSymbolicLink() && (await isDirectory(join(this.root, path)))) {
        problems.push({
          path,
          line: null,
          message: `${path} links to a folder and is not followed. Bring the folder in with \`use\`.`,
        });
      }
    }
  }

  /** The path itself where there is something, else that of what is spelt otherwise. */
  private async found(path: string): Promise<string> {
    return (await stateOf(resolve(this.root, path))) === 'absent' ? this.spelling(path) : path;
  }

  private async read(written: string, sizeLimit: number): Promise<FileBytes | FileProblem> {
    const path = await this.found(written);
    if (path !== written) this.asked.set(written, 'absent');
    const outside = { path, line: null, message: `${path} lies outside the workspace ${this.root} and is not read.` };
    const full = resolve(this.root, path);
    if (!isWithin(this.root, full)) return outside;
    this.asked.set(path, await stateOf(full));
    const trouble = troubleHere(path);
    if (trouble !== null) return { path, line: null, message: `${path} is not read: on Windows ${trouble}.` };
    try {
      const real = await realPath(full);
      if (!isWithin(this.root, real)) return outside;
      return await readFileUpTo(real, toPath(relative(this.root, full)), sizeLimit);
    } catch (error) {
      return problemOf(path, error);
    }
  }
}

/** What there is at a path; it may be gone since it was found. */
function thereAt(full: string): Promise<Stats | undefined> {
  return stat(full).catch(() => undefined);
}

async function isDirectory(full: string): Promise<boolean> {
  return (await thereAt(full))?.isDirectory() ?? false;
}

async function readFileUpTo(full: string, path: string, sizeLimit: number): Promise<FileBytes | FileProblem> {
  const information = await stat(full);
  // A pipe or a device would never end.
  if (!information.isFile()) return { path, line: null, message: `${path} is no file.` };
  if (information.size > sizeLimit) {
    return {
      path,
      line: null,
      message: `${path} has ${megabytes(information.size)}, more than the ${megabytes(sizeLimit)} allowed. Split it.`,
    };
  }
  return { path, bytes: await readFile(full) };
}

/**
 * Writes so that a reader sees the old file or the new one, never half of it. A file that exists keeps its mode, a link
 * keeps pointing to it; a pipe or a device is written to as it is.
 */
export async function writeText(path: string, text: string): Promise<void> {
  const target = await realPath(path).catch(() => undefined);
  const known = target === undefined ? undefined : await thereAt(target);
  const isLink = await readlink(path).then(
    () => true,
    () => false,
  );
  if (known?.isFile() || (!known && !isLink)) await replace(target ?? resolve(path), text, known && known.mode & 0o777);
  else await writeFile(path, text);
}

/** To a temporary file beside it, then renamed. */
async function replace(target: string, text: string, mode: number | undefined): Promise<void> {
  const temporary = join(dirname(target), `.${basename(target)}.${randomBytes(6).toString('hex')}.tmp`);
  try {
    const handle = await open(temporary, 'wx', mode);
    try {
      await handle.writeFile(text);
      if (mode !== undefined) await handle.chmod(mode);
      await handle.sync();
    } finally {
      await handle.close();
    }
    await rename(temporary, target);
  } catch (error) {
    await rm(temporary, { force: true });
    throw error;
  }
}

/** The path without links. Where a drive of Windows can't tell that of an open file, it is found name by name. */
export async function realPath(path: string): Promise<string> {
  try {
    return await realpath(path);
  } catch (error) {
    if (process.platform !== 'win32' || reasons[codeOf(error)]) throw error;
    return realpathSync(path);
  }
}

function codeOf(error: unknown): string {
  return error instanceof Error && 'code' in error ? String(error.code) : '';
}

/** One sentence for an error of the file system. */
export function problemOf(path: string, error: unknown): FileProblem {
  const code = codeOf(error);
  return { path, line: null, message: `${path} ${reasons[code] ?? `could not be used (${code || String(error)})`}.` };
}

const reasons: Record<string, string | undefined> = {
  ENOENT: 'does not exist',
  ENOTDIR: 'does not exist',
  EACCES: 'is closed to you: check its permissions',
  EPERM: 'is closed to you: check its permissions',
  EROFS: 'is on a read-only file system',
  ENOSPC: 'does not fit: the disk is full',
  EDQUOT: 'does not fit: your share of the disk is used up',
  EPIPE: 'was closed by its reader',
  EISDIR: 'is a folder, not a file',
  ELOOP: 'is a link that leads back to itself',
  ENAMETOOLONG: 'has too long a name',
  EMFILE: 'could not be opened: too many files are open',
};

/** What stands for a device, or for another file than it says, is no file of the workspace. */
function troubleHere(path: string): string | null {
  return process.platform === 'win32' ? troubleOnWindows(path) : null;
}

/** Whether a path is a folder's own or below it. */
export function isWithin(root: string, full: string): boolean {
  const path = relative(root, full);
  return path !== '..' && !path.startsWith(`..${sep}`) && !isAbsolute(path);
}

function toPath(path: string): string {
  return sep === '/' ? path : path.replaceAll(sep, '/');
}

function megabytes(bytes: number): string {
  return `${Math.ceil(bytes / 2 ** 20)} MiB`;
}
