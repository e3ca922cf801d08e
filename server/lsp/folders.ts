/** The open workspace folders, each with its own projects, and which of them an address belongs to. */
import { URI } from 'vscode-uri';
import { folderOf, isOutside, joinOutward, relativePath } from '../project/paths.js';
import { LIBRARY, type ProjectOptions } from '../project/project.js';
import { isInFolder, normalAddress, parseAddress } from './addresses.js';
import { WorkspaceProjects, type WorkspaceFiles } from './workspace.js';

const LIBRARY_URI_SCHEME = 'gusset';

/** An address by which a folder of the workspace, or one in it, is known. */
interface Way {
  readonly root: URI;
  /** The path in the folder that it leads to, with a slash at its end where it isn't empty. */
  readonly below: string;
}

export class Folder {
  /** Files whose findings may have changed and were not looked at yet. */
  pending = new Set<string>();
  private ways: readonly Way[];
  /** What `..` leads out of. */
  private readonly real: URI;

  /** `uri`, and `real` where no link leads there, in their one spelling. */
  constructor(
    readonly uri: string,
    readonly workspace: WorkspaceProjects,
    real = uri,
  ) {
    this.ways = [{ root: URI.parse(uri), below: '' }];
    this.real = URI.parse(real);
  }

  /** Further addresses that lead here, by links or to folders inside, with the paths that they lead to. */
  alsoAt(others: ReadonlyMap<string, string>): void {
    this.ways = [
      { root: URI.parse(this.uri), below: '' },
      ...[...others].map(([uri, path]) => ({ root: URI.parse(uri), below: path === '' ? '' : `${path}/` })),
    ];
  }

  /** The path of an address, which is in its one spelling, below this folder; undefined where it isn't below. */
  pathOf(uri: URI): string | undefined {
    for (const { root, below } of this.ways) {
      const prefix = prefixOf(root);
      if (uri.scheme === root.scheme && uri.authority === root.authority && `${uri.path}/`.startsWith(prefix))
        return (below + uri.path.slice(prefix.length)).replace(/\/$/, '');
    }
    return undefined;
  }

  uriOf(path: string): string {
    if (path.startsWith(LIBRARY))
      return URI.from({ scheme: LIBRARY_URI_SCHEME, path: `/${path.slice(LIBRARY.length)}` }).toString();
    if (isOutside(path)) return this.real.with({ path: `/${joinOutward(this.real.path.slice(1), path)!}` }).toString();
    const { root } = this.ways[0]!;
    return root.with({ path: prefixOf(root) + path }).toString();
  }

  /** The path of an address outside of this folder, where it is that of a library that is used here. */
  outwardPathOf(uri: URI): string | undefined {
    if (uri.scheme !== this.real.scheme || uri.authority !== this.real.authority) return undefined;
    const path = relativePath(this.real.path.slice(1), uri.path.slice(1));
    return isOutside(path) && this.workspace.restsOn(path) ? path : undefined;
  }
}

/** The path of an untitled document has no slash in front. */
function prefixOf({ path }: URI): string {
  return path === '' || path.endsWith('/') ? path : `${path}/`;
}

export interface FolderPath {
  readonly folder: Folder;
  readonly path: string;
}

export class Folders {
  private readonly uris = new Set<string>();
  private opened = new Map<string, Folder>();
  /** Documents outside all folders, by the folder they lie in: nothing around them is read. */
  private readonly loose = new Map<string, Folder>();

  private asOf: string | null = null;

  constructor(
    private readonly options: ProjectOptions,
    private readonly openFiles: (uri: string) => Promise<WorkspaceFiles | undefined>,
  ) {}

  /** Addresses of all folders that are open. */
  get addresses(): Iterable<string> {
    return this.uris;
  }

  /** A folder inside another open one, by links as well, is part of it. Those that stay keep what they know. */
  async change(added: readonly string[], removed: readonly string[]): Promise<void> {
    for (const uri of removed) this.uris.delete(normalAddress(uri));
    for (const uri of added) this.uris.add(normalAddress(uri));
    const found = await Promise.all(
      [...this.uris].map(async uri => {
        const files = await this.openFiles(uri);
        return { uri, files, real: files?.address === undefined ? uri : normalAddress(files.address) };
      }),
    );
    const roots = found.filter(
      ({ uri, real }, i) =>
        !found.some((other, j) => other.uri !== uri && isInFolder(real, other.real) && (other.real !== real || j < i)),
    );
    const next = new Map<string, Folder>();
    for (const { uri, files, real } of roots) {
      const kept = this.opened.get(uri);
      // Libraries may lie in other folders than before.
      kept?.workspace.forgetLibraries();
      next.set(uri, kept ?? (await this.open(uri, files ?? null, real)));
    }
    for (const { uri, real } of roots) {
      const others = new Map(real === uri ? [] : [[real, '']]);
      for (const other of found)
        if (other.uri !== uri && isInFolder(other.real, real)) {
          const path = URI.parse(other.real).path.slice(prefixOf(URI.parse(real)).length);
          others.set(other.uri, path).set(other.real, path);
        }
      next.get(uri)!.alsoAt(others);
    }
    this.opened = next;
    this.loose.clear();
  }

  private async open(uri: string, files: WorkspaceFiles | null, real: string): Promise<Folder> {
    const folder = new Folder(uri, new WorkspaceProjects(files, this.options, this.asOf), real);
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

  locate(uri: string): FolderPath {
    const parsed = parseAddress(uri);
    if (isLibrary(uri))
      return {
        folder: this.all.find(folder => folder.workspace.project(LIBRARY)) ?? this.looseFolder(parsed),
        path: LIBRARY + parsed.path.slice(1),
      };
    for (const folder of this.opened.values()) {
      const path = folder.pathOf(parsed);
      if (path !== undefined) return { folder, path };
    }
    for (const folder of this.opened.values()) {
      const path = folder.outwardPathOf(parsed);
      if (path !== undefined) return { folder, path };
    }
    const folder = this.looseFolder(parsed);
    return { folder, path: folder.pathOf(parsed)! };
  }

  /** Where a document belongs, and then every folder that uses it from outside. */
  placesOf(uri: string): [FolderPath, ...FolderPath[]] {
    const first = this.locate(uri);
    if (isLibrary(uri)) return [first];
    const parsed = parseAddress(uri);
    const others = [...this.opened.values()].flatMap((folder): FolderPath[] => {
      const path = folder === first.folder ? undefined : folder.outwardPathOf(parsed);
      return path === undefined ? [] : [{ folder, path }];
    });
    return [first, ...others];
  }

  /** The one address of a document, whichever of those that lead to it is given. */
  addressOf(uri: string): string {
    if (isLibrary(uri)) return normalAddress(uri);
    const { folder, path } = this.locate(uri);
    return folder.uriOf(path);
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
