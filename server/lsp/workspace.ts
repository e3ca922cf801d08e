/**
 * The open workspace: every project in it, texts of open documents before those on disk, findings as they become known.
 */
import type { Day } from '../project/day.js';
import { readTableInSteps } from '../project/data-files/read.js';
import { withLineFeeds } from '../project/data-files/decode-text.js';
import type { Found } from '../findings/index.js';
import { isSameOutline, Outlines } from '../project/outline.js';
import { foldedPath, folderOf, isBelow, isElsewhere, isSource } from '../project/paths.js';
import { LIBRARY, Project, type Finding, type ProjectOptions } from '../project/project.js';
import { gatherSources, projectFolderOf, projectFolders } from '../project/sources.js';
import { Lines } from '../features/lines.js';
import { pause } from './soon.js';

/** Why a source has no text. */
export interface Unreadable {
  /** A whole sentence. */
  readonly message: string;
  /** One-based, where a line is to blame. */
  readonly line: number | null;
}

/** The files around the server; never leads out of the workspace. */
export interface WorkspaceFiles {
  /** The address that the folder has where no link leads to it; undefined where that is not known. */
  readonly address?: string;
  sources(): Promise<ReadonlyMap<string, string | Unreadable>>;
  /** The text of a source, or those of all in a folder, where `sources` does not look; or why there are none. */
  library(
    path: string,
  ): Promise<{ readonly sources: ReadonlyMap<string, string | Unreadable> } | { readonly message: string }>;
  /**
   * Follows all that was read or looked for, for clients that tell of no changes. Returns how to stop; undefined where
   * that can't be done.
   */
  watch?(changed: (paths: readonly string[]) => void, trouble: (message: string) => void): () => void;
  /** Null where there is no such file. */
  text(path: string): Promise<string | Unreadable | null>;
  bytes(path: string): Promise<Uint8Array | { readonly message: string }>;
  exists(path: string): Promise<boolean>;
  /** The day of the revision that a folder stands on; where that is not asked for, it is today. */
  day?(folder: string): Promise<Day>;
  /** A path as the file system spells it; undefined where that can't be told. */
  spelling?(path: string): Promise<string>;
}

export class WorkspaceProjects {
  private readonly disk = new Map<string, string>();
  private readonly open = new Map<string, { text: string; version: number }>();
  private projects = new Map<string, Project>();
  private owner = new Map<string, Project>();
  /** Every project that a file is part of, as its own or as that of a library. */
  private holders = new Map<string, Project[]>();
  /** Sources that are there and can't be read, and those of which that was or is to be told. */
  private readonly unreadable = new Map<string, Unreadable>();
  private untold = new Set<string>();
  private readonly lineCache = new Map<string, { text: string; lines: Lines }>();
  private readonly outlines = new Outlines();
  /** Libraries that lie where sources are not looked for by themselves, with why they are not there. */
  private readonly looked = new Map<string, string | null>();
  private readonly wanted = new Set<string>();
  private loading: Promise<unknown> = Promise.resolve();

  constructor(
    private readonly files: WorkspaceFiles | null,
    private readonly options: ProjectOptions,
    private asOf: string | null,
  ) {}

  /** Judges every project as of another date than its own; null: as of its own. */
  judgeAsOf(date: string | null): void {
    this.asOf = date;
    for (const project of this.projects.values()) project.judgeAsOf(date);
  }

  async load(): Promise<void> {
    if (this.files) for (const [path, source] of await this.files.sources()) this.keep(path, source);
    this.arrange();
    await this.readLibraries();
    await this.readDays();
  }

  /** Asks which day each project's folder stands on, as a commit may have been made or left. True where one moved. */
  async readDays(): Promise<boolean> {
    let changed = false;
    for (const [folder, project] of this.projects) {
      const before = project.asOf;
      const day = await this.files?.day?.(folder);
      if (day) project.standOn(day);
      changed ||= project.asOf !== before;
    }
    return changed;
  }

  /** Puts every source into the projects it belongs to. */
  private arrange(): void {
    const texts = new Map(this.disk);
    for (const [path, { text }] of this.open) texts.set(path, text);
    const declared = projectFolders(texts, this.outlines);
    const known = { texts, lookedAt: (path: string) => this.lookedAt(path) };
    const own = this.ownSources(texts, declared);
    const before = this.projects;
    this.projects = new Map();
    this.owner = new Map();
    this.holders = new Map();
    this.wanted.clear();
    // A folder that is used and is no project by itself is a library and nothing else.
    for (const folder of [...own.keys()].sort((x, y) => Number(declared.has(y)) - Number(declared.has(x)))) {
      const files = own.get(folder)!.filter(path => declared.has(folder) || !this.holders.has(path));
      if (files.length === 0) continue;
      const sources = gatherSources(files, known, this.outlines);
      const project = before.get(folder) ?? new Project(this.options);
      project.judgeAsOf(this.asOf);
      project.setSources(sources, texts);
      this.projects.set(folder, project);
      for (const path of sources.wanted) this.wanted.add(path);
      for (const path of files) this.owner.set(path, project);
      for (const path of project.files) {
        const holders = this.holders.get(path);
        if (holders) holders.push(project);
        else this.holders.set(path, [project]);
      }
    }
    for (const [path, [project]] of this.holders) if (!this.owner.has(path)) this.owner.set(path, project!);
  }

  /** Sources by the project folder they belong to; what is open elsewhere is judged with what is open beside it. */
  private ownSources(
    texts: ReadonlyMap<string, string>,
    declared: ReadonlySet<string>,
  ): ReadonlyMap<string, readonly string[]> {
    const found = new Map<string, string[]>();
    for (const path of [...texts.keys()].sort()) {
      if (isElsewhere(path) && !this.open.has(path)) continue;
      const folder = isElsewhere(path) ? folderOf(path) : projectFolderOf(path, declared);
      const files = found.get(folder);
      if (files) files.push(path);
      else found.set(folder, [path]);
    }
    return found;
  }

  private lookedAt(path: string): string | null | undefined {
    if (this.looked.has(path)) return this.looked.get(path);
    if (!isElsewhere(path)) return null;
    return this.files ? undefined : 'the folder around this document is not open in the editor';
  }

  /** Whether a library that lies elsewhere is still to be read. */
  get lacksLibraries(): boolean {
    return this.files !== null && this.wanted.size > 0;
  }

  /** Reads libraries that lie elsewhere. True when something new was read. */
  async readLibraries(): Promise<boolean> {
    let changed = false;
    while (this.files && this.wanted.size > 0) {
      changed = true;
      for (const path of [...this.wanted]) {
        const found = await this.files.library(path);
        this.looked.set(path, 'message' in found ? found.message : null);
        if (!('message' in found)) for (const [each, source] of found.sources) this.keep(each, source);
      }
      this.arrange();
    }
    return changed;
  }

  project(path: string): Project | undefined {
    return this.owner.get(path) ?? (path.startsWith(LIBRARY) ? this.projects.values().next().value : undefined);
  }

  text(path: string): string | undefined {
    return this.open.get(path)?.text ?? this.disk.get(path) ?? this.project(path)?.text(path);
  }

  version(path: string): number | null {
    return this.open.get(path)?.version ?? null;
  }

  lines(path: string): Lines {
    const text = this.text(path) ?? '';
    const known = this.lineCache.get(path);
    if (known?.text === text) return known.lines;
    const lines = new Lines(text);
    this.lineCache.set(path, { text, lines });
    return lines;
  }

  setOpen(path: string, written: string, version: number): void {
    const text = withLineFeeds(written);
    const before = this.text(path);
    const moved =
      !this.owner.has(path) ||
      before === undefined ||
      !isSameOutline(this.outlines.of(path, before), this.outlines.of(path, text));
    this.open.set(path, { text, version });
    if (moved) this.arrange();
    else for (const project of this.holders.get(path)!) project.setText(path, text);
  }

  /** A closed document counts as it is on disk. */
  async setClosed(path: string): Promise<void> {
    await this.readSource(path);
    this.open.delete(path);
    this.arrange();
    await this.readLibraries();
  }

  /** Files, or folders with all in them, that changed outside the editor. Unchanged content costs nothing. */
  async changedOnDisk(paths: readonly string[]): Promise<void> {
    let moved = false;
    for (const path of paths) {
      for (const library of this.looked.keys())
        if (isBelow(path, library) || isBelow(library, path)) {
          this.forgetLibrary(library);
          moved = true;
        }
      if (isSource(path)) moved = (await this.readSource(path)) || moved;
      else {
        moved = (await this.readFolder(path)) || moved;
        for (const project of this.projects.values())
          for (const file of project.citedFiles())
            if (isBelow(foldedPath(file), foldedPath(path))) await this.readCited(project, file);
      }
    }
    if (!moved) return;
    this.arrange();
    await this.readLibraries();
  }

  /** Reads a source anew; whether it is another than before. */
  private async readSource(path: string): Promise<boolean> {
    if (isElsewhere(path)) return false;
    return this.keep(path, (await this.files?.text(path)) ?? null);
  }

  /** What a source is now; whether its text is another than before. */
  private keep(path: string, source: string | Unreadable | null): boolean {
    const problem = source === null || typeof source === 'string' ? undefined : source;
    if (problem?.message !== this.unreadable.get(path)?.message) this.untold.add(path);
    if (problem) this.unreadable.set(path, problem);
    else this.unreadable.delete(path);
    const text = typeof source === 'string' ? source : null;
    if (text === (this.disk.get(path) ?? null)) return false;
    if (text === null) this.disk.delete(path);
    else this.disk.set(path, text);
    return true;
  }

  isUnreadable(path: string): boolean {
    return this.unreadable.has(path);
  }

  /** Sources that can't be read any more, or can again, since this was last asked. */
  takeUntold(): ReadonlySet<string> {
    const { untold } = this;
    this.untold = new Set();
    return untold;
  }

  /** Sources in what may be a folder that came or went; whether there are others than before. */
  private async readFolder(path: string): Promise<boolean> {
    if (!this.files || isElsewhere(path)) return false;
    let moved = false;
    for (const known of [...this.disk.keys()]) if (isBelow(known, path) && (await this.readSource(known))) moved = true;
    if (path.slice(path.lastIndexOf('/') + 1).includes('.') && (await this.files.exists(path))) return moved;
    const found = await this.files.library(path);
    for (const [each, source] of 'message' in found ? [] : found.sources)
      if (isSource(each) && this.keep(each, source)) moved = true;
    return moved;
  }

  private async readCited(project: Project, path: string): Promise<void> {
    project.forgetData(path);
    project.setFileExists(path, (await this.files?.exists(path)) ?? false);
    await this.readSpelling(project, path);
  }

  private async readSpelling(project: Project, path: string): Promise<void> {
    project.setSpelling(path, (await this.files?.spelling?.(path)) ?? path);
  }

  /** All libraries that lie elsewhere are looked at anew. */
  forgetLibraries(): void {
    if (this.looked.size === 0) return;
    for (const library of [...this.looked.keys()]) this.forgetLibrary(library);
    this.arrange();
  }

  /** Whether a file is that of a library that is used here, or was looked for as one. */
  restsOn(path: string): boolean {
    return this.holders.has(path) || [...this.looked.keys()].some(library => isBelow(path, library));
  }

  /** Every file that a project is made of or cites. */
  get rests(): ReadonlySet<string> {
    const files = new Set(this.holders.keys());
    for (const project of this.projects.values())
      for (const path of [...project.citedFiles(), ...project.speltFiles]) files.add(path);
    return files;
  }

  /** Follows the files by itself; returns how to stop, undefined where that can't be done. */
  watch(settled: () => void, trouble: (message: string) => void): (() => void) | undefined {
    return this.files?.watch?.(paths => {
      const changed = this.following.then(() => this.changedOnDisk(paths));
      this.following = changed.catch(() => undefined);
      void changed.finally(settled);
    }, trouble);
  }

  private following: Promise<unknown> = Promise.resolve();

  /** It is looked at anew. */
  private forgetLibrary(library: string): void {
    this.looked.delete(library);
    for (const path of this.disk.keys()) if (isElsewhere(path) && isBelow(path, library)) this.disk.delete(path);
  }

  /** All that is found in a file, by any project that it is part of. */
  findings(path: string): Finding[] {
    const unread = this.unreadFindings(path);
    const holders = this.holdersOf(path);
    if (unread.length === 0 && holders.length === 1) return holders[0]!.findings(path);
    const seen = new Set<string>();
    return [...unread, ...holders.flatMap(project => project.findings(path))].filter(
      ({ code, start, end, message }) => {
        const key = `${code} ${start} ${end} ${message}`;
        return !seen.has(key) && seen.add(key);
      },
    );
  }

  /** An editor may show a file that nothing else can read. */
  private unreadFindings(file: string): Finding[] {
    const problem = this.unreadable.get(file);
    if (!problem) return [];
    const { message, line } = problem;
    const start = this.lines(file).offset({ line: (line ?? 1) - 1, character: 0 });
    const owner = { spans: [start, start], placement: { file, start: 0 } };
    const found: Found = { code: 'unreadable-file', place: { owner, id: 0 }, data: { message } };
    return [{ code: found.code, severity: 'error', message, file, start, end: start, related: [], found }];
  }

  /** The projects that a file is part of, first the one whose own it is. */
  holdersOf(path: string): readonly Project[] {
    const owner = this.owner.get(path);
    return owner ? [owner, ...this.holders.get(path)!.filter(project => project !== owner)] : [];
  }

  get all(): Iterable<Project> {
    return this.projects.values();
  }

  get paths(): Iterable<string> {
    return new Set([...this.owner.keys(), ...this.unreadable.keys()]);
  }

  /**
   * Reads the data files that are missing, a step at a time, after those that are being read. True when something new
   * was read.
   */
  loadData(project: Project): Promise<boolean> {
    const loaded = this.loading.then(() => this.loadMissing(project));
    this.loading = loaded.catch(() => undefined);
    return loaded;
  }

  private async loadMissing(project: Project): Promise<boolean> {
    if (!this.files) return false;
    let changed = false;
    for (const request of project.missingData()) {
      if (request.path === null) continue;
      changed = true;
      const bytes = await this.files.bytes(request.path);
      await this.readSpelling(project, request.path);
      if (!(bytes instanceof Uint8Array)) {
        project.setTable(request.key, { problem: bytes.message });
        continue;
      }
      const steps = readTableInSteps(bytes, request.request);
      for (let step = steps.next(); ; step = steps.next()) {
        if (step.done) {
          project.setTable(request.key, { table: step.value });
          break;
        }
        await pause();
        if (!project.isMissing(request.key)) break;
      }
    }
    for (const path of project.unknownFiles()) {
      changed = true;
      project.setFileExists(path, await this.files.exists(path));
      await this.readSpelling(project, path);
    }
    return changed;
  }
}
