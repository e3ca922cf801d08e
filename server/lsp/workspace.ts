/**
 * The open workspace: every project in it, texts of open documents before those on disk, findings as they become known.
 */
import { readTableInSteps } from '../project/csv.js';
import { Outlines } from '../project/outline.js';
import { partition } from '../project/paths.js';
import { LIBRARY, Project, type ProjectOptions } from '../project/project.js';
import { Lines } from '../features/lines.js';
import { pause } from './soon.js';

/** The files around the server; never leads out of the workspace. */
export interface WorkspaceFiles {
  sources(): Promise<ReadonlyMap<string, string>>;
  text(path: string): Promise<string | null>;
  bytes(path: string): Promise<Uint8Array | { readonly message: string }>;
  exists(path: string): Promise<boolean>;
}

export class WorkspaceProjects {
  private readonly disk = new Map<string, string>();
  private readonly open = new Map<string, { text: string; version: number }>();
  private projects = new Map<string, Project>();
  private owner = new Map<string, Project>();
  private readonly lineCache = new Map<string, { text: string; lines: Lines }>();
  private readonly outlines = new Outlines();
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
    if (this.files) for (const [path, text] of await this.files.sources()) this.disk.set(path, text);
    this.arrange();
  }

  /** Puts every source into the project it belongs to. */
  private arrange(): void {
    const texts = new Map(this.disk);
    for (const [path, { text }] of this.open) texts.set(path, text);
    const wanted = partition(texts, this.outlines);
    const before = this.projects;
    this.projects = new Map();
    this.owner = new Map();
    for (const [folder, paths] of wanted) {
      const project = before.get(folder) ?? new Project(this.options);
      this.projects.set(folder, project);
      project.judgeAsOf(this.asOf);
      const own = new Set(paths);
      for (const file of project.files) if (!own.has(file)) project.setText(file, null);
      for (const path of paths) {
        this.owner.set(path, project);
        project.setText(path, texts.get(path)!);
      }
    }
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

  setOpen(path: string, text: string, version: number): void {
    const before = this.text(path);
    const moved =
      !this.owner.has(path) ||
      (before !== undefined && this.outlines.of(path, before).declaresProject) !==
        this.outlines.of(path, text).declaresProject;
    this.open.set(path, { text, version });
    if (moved) this.arrange();
    else this.owner.get(path)!.setText(path, text);
  }

  /** A closed document counts as it is on disk. */
  async setClosed(path: string): Promise<void> {
    this.open.delete(path);
    await this.changedOnDisk([path]);
  }

  /** Files changed outside the editor. Unchanged content costs nothing. */
  async changedOnDisk(paths: readonly string[]): Promise<void> {
    for (const path of paths) {
      if (path.endsWith('.gus')) {
        const text = (await this.files?.text(path)) ?? null;
        if (text === null) this.disk.delete(path);
        else this.disk.set(path, text);
      } else {
        for (const project of this.projects.values()) {
          project.forgetData(path);
          project.setFileExists(path, (await this.files?.exists(path)) ?? false);
        }
      }
    }
    this.arrange();
  }

  get all(): Iterable<Project> {
    return this.projects.values();
  }

  get paths(): Iterable<string> {
    return this.owner.keys();
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
    }
    return changed;
  }
}
