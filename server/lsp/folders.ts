/** The open workspace folders, each with its own projects, and which of them an address belongs to. */
import { URI } from 'vscode-uri';
import { folderOf } from '../project/paths.js';
import { LIBRARY, type ProjectOptions } from '../project/project.js';
import { WorkspaceProjects, type WorkspaceFiles } from './workspace.js';

const LIBRARY_URI_SCHEME = 'gusset';

export class Folder {
  /** Files whose findings may have changed and were not looked at yet. */
  pending = new Set<string>();
  private readonly root: URI;
  private readonly prefix: string;

  constructor(
    readonly uri: string,
    readonly workspace: WorkspaceProjects,
  ) {
    this.root = URI.parse(uri);
    // The path of an untitled document has no slash in front.
    this.prefix = this.root.path === '' ? '' : `${this.root.path.replace(/\/$/, '')}/`;
  }

  /** The path of `uri` below this folder; undefined where it isn't below. */
  pathOf(uri: URI): string | undefined {
    const sameSystem = uri.scheme === this.root.scheme && uri.authority === this.root.authority;
    return sameSystem && `${uri.path}/`.startsWith(this.prefix) ? uri.path.slice(this.prefix.length) : undefined;
  }

  uriOf(path: string): string {
    if (path.startsWith(LIBRARY))
      return URI.from({ scheme: LIBRARY_URI_SCHEME, path: `/${path.slice(LIBRARY.length)}` }).toString();
    return this.root.with({ path: this.prefix + path }).toString();
  }
}

export interface Place {
  readonly folder: Folder;
  readonly path: string;
}

export class Folders {
  private readonly uris = new Set<string>();
  private readonly opened = new Map<string, Folder>();
  /** Documents outside all folders, by the folder they lie in: nothing around them is read. */
  private readonly loose = new Map<string, Folder>();

  private asOf: string | null = null;

  constructor(
    private readonly options: ProjectOptions,
    private readonly openFiles: (uri: string) => Promise<WorkspaceFiles | undefined>,
  ) {}

  /** A folder inside another open one is part of it. Those that stay keep what they know. */
  async change(added: readonly string[], removed: readonly string[]): Promise<void> {
    for (const uri of removed) this.uris.delete(normalUri(uri));
    for (const uri of added) this.uris.add(normalUri(uri));
    const outermost = [...this.uris].filter(
      uri => ![...this.uris].some(other => other !== uri && uri.startsWith(`${other.replace(/\/$/, '')}/`)),
    );
    for (const uri of this.opened.keys()) if (!outermost.includes(uri)) this.opened.delete(uri);
    this.loose.clear();
    for (const uri of outermost) if (!this.opened.has(uri)) this.opened.set(uri, await this.open(uri));
  }

  private async open(uri: string): Promise<Folder> {
    const folder = new Folder(uri, new WorkspaceProjects((await this.openFiles(uri)) ?? null, this.options, this.asOf));
    await folder.workspace.load();
    return folder;
  }

  /** Judges every project as of another date than its own; null: as of its own. */
  judgeAsOf(date: string | null): void {
    this.asOf = date;
    for (const folder of this.all) folder.workspace.judgeAsOf(date);
  }

  get all(): readonly Folder[] {
    return [...this.opened.values(), ...this.loose.values()];
  }

  locate(uri: string): Place {
    const parsed = URI.parse(uri);
    if (isLibrary(uri))
      return {
        folder: this.all.find(folder => folder.workspace.project(LIBRARY)) ?? this.looseFolder(parsed),
        path: LIBRARY + parsed.path.slice(1),
      };
    for (const folder of this.opened.values()) {
      const path = folder.pathOf(parsed);
      if (path !== undefined) return { folder, path };
    }
    const folder = this.looseFolder(parsed);
    return { folder, path: folder.pathOf(parsed)! };
  }

  private looseFolder(document: URI): Folder {
    const uri = document
      .with({ path: folderOf(document.path) || (document.path.startsWith('/') ? '/' : ''), query: '', fragment: '' })
      .toString();
    const known = this.loose.get(uri) ?? new Folder(uri, new WorkspaceProjects(null, this.options, this.asOf));
    this.loose.set(uri, known);
    return known;
  }
}

export function isLibrary(uri: string): boolean {
  return uri.startsWith(`${LIBRARY_URI_SCHEME}:`);
}

/** One spelling for an address, however the editor encodes it. */
export function normalUri(uri: string): string {
  return URI.parse(uri).toString();
}
