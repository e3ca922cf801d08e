/** The wire: documents in, findings and answers out. A defect in a feature becomes a log line, never a dead server. */
import { LSPErrorCodes, ResponseError, TextDocumentSyncKind, type CancellationToken, type Connection, type InitializeParams, type InitializeResult } from 'vscode-languageserver';
import { TextDocument } from 'vscode-languageserver-textdocument';
import { URI } from 'vscode-uri';
import { version } from '../../package.json';
import { diagnosticsOf, type Places } from '../features/diagnostics.js';
import { Refusal, type ClientSettings, type Feature, type FeatureContext } from '../features/feature.js';
import { catalogue } from '../features/generated/catalogue.js';
import { LIBRARY, type Project } from '../project/project.js';
import { WorkspaceProjects, type WorkspaceFiles } from './workspace.js';

export interface ServerEnvironment {
  /** Files below a folder; undefined where it can't be opened. */
  openFiles(folder: string): Promise<WorkspaceFiles | undefined>;
  /** Today's date, for projects that name none. */
  readonly today: string;
}

const FEATURES = (catalogue as readonly (Feature | readonly Feature[])[]).flat();
/** Only for editors that ask for findings and can't be told them. */
const PULLED: ReadonlySet<string> = new Set(['textDocument/diagnostic', 'workspace/diagnostic']);
/** Project-wide findings wait until typing rests. */
const REST = 150;

export function startServer(connection: Connection, environment: ServerEnvironment): void {
  new Server(connection, environment).start();
}

class Server {
  private readonly documents = new Map<string, TextDocument>();
  private root: string | null = null;
  private workspace!: WorkspaceProjects;
  private readonly published = new Map<string, string>();
  private scheduled = false;
  private edited: string | null = null;
  private resting: ReturnType<typeof setTimeout> | undefined;
  private ready: Promise<void> = Promise.resolve();
  private folderUri: string | null = null;
  private settings: ClientSettings = { snippets: false, hintsPerLine: 1 };
  /** Whether the editor asks for findings instead of being told them. */
  private pulling = false;
  /** What the editor fetches again when it is told to. */
  private refreshes: readonly string[] = [];
  /** Grows with each change of a text. */
  private stamp = 0;
  private readonly places: Places = { uri: file => this.uri(file), linesOf: file => this.workspace.lines(file) };

  constructor(private readonly connection: Connection, private readonly environment: ServerEnvironment) {}

  start(): void {
    const { connection } = this;
    connection.onInitialize(params => this.initialize(params));
    connection.onInitialized(() => void this.guarded('start', () => this.ready.then(() => this.publishEverything())));
    connection.onDidOpenTextDocument(({ textDocument }) => this.changeDocument(TextDocument.create(textDocument.uri, textDocument.languageId, textDocument.version, textDocument.text)));
    connection.onDidChangeTextDocument(({ textDocument, contentChanges }) => {
      const document = this.documents.get(textDocument.uri);
      if (document) this.changeDocument(TextDocument.update(document, contentChanges, textDocument.version));
    });
    connection.onDidCloseTextDocument(({ textDocument }) => {
      this.documents.delete(textDocument.uri);
      void this.guarded('close', async () => {
        await this.ready;
        await this.workspace.setClosed(this.path(textDocument.uri));
        this.schedule(null);
      });
    });
    connection.onDidChangeWatchedFiles(({ changes }) => void this.guarded('watched files', async () => {
      await this.ready;
      const paths = changes.map(change => this.path(change.uri)).filter(path => !this.documents.has(this.uri(path)));
      if (paths.length === 0) return;
      await this.workspace.changedOnDisk(paths);
      this.schedule(null);
    }));
    for (const feature of FEATURES) connection.onRequest(feature.method, (params: never, token: CancellationToken) => this.answer(feature, params, token));
    connection.onShutdown(() => clearTimeout(this.resting));
    connection.listen();
  }

  private async initialize(params: InitializeParams): Promise<InitializeResult> {
    const folder = params.workspaceFolders?.[0]?.uri ?? params.rootUri ?? null;
    this.folderUri = folder;
    this.root = folder && URI.parse(folder).scheme === 'file' ? URI.parse(folder).fsPath : null;
    const files = this.root ? await this.environment.openFiles(this.root) : undefined;
    this.workspace = new WorkspaceProjects(files ?? null, this.environment.today);
    this.ready = this.workspace.load();
    this.readAbilities(params);
    const capabilities: Record<string, unknown> = { textDocumentSync: { openClose: true, change: TextDocumentSyncKind.Incremental } };
    for (const feature of FEATURES) if (this.pulling || !PULLED.has(feature.method)) merge(capabilities, feature.capabilities);
    return { capabilities, serverInfo: { name: 'gusset', version } };
  }

  private readAbilities({ capabilities, initializationOptions }: InitializeParams): void {
    const { textDocument, workspace } = capabilities;
    const options = (initializationOptions ?? {}) as { readonly inlayHintsPerLine?: unknown; readonly diagnostics?: unknown };
    this.settings = { snippets: textDocument?.completion?.completionItem?.snippetSupport ?? false, hintsPerLine: typeof options.inlayHintsPerLine === 'number' ? options.inlayHintsPerLine : 1 };
    this.pulling = textDocument?.diagnostic !== undefined && (textDocument.publishDiagnostics === undefined || options.diagnostics === 'pull');
    const able: readonly (readonly [string, boolean | undefined])[] = [
      ['workspace/codeLens/refresh', workspace?.codeLens?.refreshSupport], ['workspace/inlayHint/refresh', workspace?.inlayHint?.refreshSupport], ['workspace/semanticTokens/refresh', workspace?.semanticTokens?.refreshSupport],
      ['workspace/diagnostic/refresh', this.pulling && workspace?.diagnostics?.refreshSupport],
    ];
    this.refreshes = able.filter(([, supported]) => supported).map(([method]) => method);
  }

  // ---- documents --------------------------------------------------------------------------------------------------------

  private changeDocument(document: TextDocument): void {
    this.stamp++;
    this.documents.set(document.uri, document);
    void this.guarded('change', async () => {
      await this.ready;
      const current = this.documents.get(document.uri);
      if (!current || current.version !== document.version) return;
      this.workspace.setOpen(this.path(document.uri), current.getText(), current.version);
      this.schedule(this.path(document.uri));
    });
  }

  /** Edits that come together are evaluated together. */
  private schedule(path: string | null): void {
    this.edited = path ?? this.edited;
    this.stamp++;
    if (this.scheduled) return;
    this.scheduled = true;
    setImmediate(() => void this.guarded('evaluation', () => this.evaluate()));
  }

  private async evaluate(): Promise<void> {
    this.scheduled = false;
    clearTimeout(this.resting);
    const { edited } = this;
    const project = edited === null ? undefined : this.workspace.project(edited);
    if (project && edited !== null) {
      const dirty = project.update();
      this.publish(project, edited);
      await this.publishRest(project, dirty, edited);
    }
    for (const other of this.workspace.all) if (other !== project) await this.publishRest(other, other.update(), null);
    this.rest();
  }

  /** Files other than the edited one, open ones first; stops where a newer edit waits. */
  private async publishRest(project: Project, dirty: ReadonlySet<string>, edited: string | null): Promise<void> {
    const isOpen = (path: string): boolean => this.documents.has(this.uri(path));
    const paths = [...new Set([...this.pending, ...dirty])].filter(path => path !== edited).sort((x, y) => Number(isOpen(y)) - Number(isOpen(x)));
    this.pending = new Set(paths);
    let count = 0;
    for (const path of paths) {
      if (this.scheduled) return;
      this.pending.delete(path);
      const owner = this.workspace.project(path) ?? project;
      this.publish(owner, path);
      if (++count % 20 === 0) await new Promise<void>(resolve => setImmediate(resolve));
    }
  }

  /** Files whose findings may have changed and were not looked at yet. */
  private pending = new Set<string>();

  private rest(): void {
    clearTimeout(this.resting);
    this.resting = setTimeout(() => void this.guarded('project findings', async () => {
      for (const project of this.workspace.all) {
        if (await this.workspace.loadData(project)) await this.publishRest(project, project.update(), null);
        if (this.scheduled) return;
        for (const dirty of project.projectFindingSteps()) {
          await this.publishRest(project, dirty, null);
          await new Promise<void>(resolve => setImmediate(resolve));
          if (this.scheduled) return;
        }
        if (project.unknownFiles().length > 0) this.schedule(null);
      }
      this.refresh();
    }), REST);
  }

  /** An edit in one file moves margins in others, which an editor would not look at again by itself. */
  private refresh(): void {
    if (this.refreshed === this.stamp || this.scheduled) return;
    this.refreshed = this.stamp;
    for (const method of this.refreshes) void this.guarded(method, () => this.connection.sendRequest(method));
  }

  private refreshed = -1;

  private async publishEverything(): Promise<void> {
    for (const project of this.workspace.all) {
      project.update();
      project.updateProjectFindings();
      if (await this.workspace.loadData(project)) {
        project.update();
        project.updateProjectFindings();
      }
      await this.publishRest(project, new Set(project.files), null);
    }
    this.rest();
  }

  /** Replaces a file's findings whole, with the version of the document they are for; the same set is not sent again. */
  private publish(project: Project, path: string): void {
    if (this.pulling) return;
    const uri = this.uri(path);
    const findings = project.findings(path);
    const documentVersion = this.workspace.version(path);
    const key = `${documentVersion} ${findings.map(finding => `${finding.start} ${finding.end} ${finding.severity} ${finding.code} ${finding.message} ${finding.related.length}`).join('\n')}`;
    if (this.published.get(uri) === key || (findings.length === 0 && documentVersion === null && !this.published.has(uri))) return;
    this.published.set(uri, key);
    void this.connection.sendDiagnostics({ uri, diagnostics: diagnosticsOf(this.places, project, path), ...(documentVersion === null ? {} : { version: documentVersion }) });
  }

  // ---- requests ---------------------------------------------------------------------------------------------------------

  private async answer(feature: Feature, params: RequestParams, token: CancellationToken): Promise<unknown> {
    await this.ready;
    if (this.scheduled) await this.evaluate();
    const uri = documentOf(params);
    const path = uri !== undefined ? this.path(uri) : [...this.workspace.paths][0] ?? '';
    const project = this.workspace.project(path);
    if (!project) return null;
    project.update();
    for (const other of this.workspace.all) if (other.configurations.length === 0) other.update();
    try {
      return await feature.handle(this.context(project, path, token), params as never) ?? null;
    } catch (error) {
      if (error instanceof ResponseError) return error;
      if (error instanceof Refusal) return new ResponseError(LSPErrorCodes.RequestFailed, error.message);
      this.log(feature.method, error);
      return null;
    }
  }

  private context(project: Project, path: string, token: CancellationToken): FeatureContext {
    const { stamp } = this;
    return {
      ...this.places, project, projects: [...this.workspace.all], file: path, text: this.workspace.text(path) ?? '', lines: this.workspace.lines(path), path: uri => this.path(uri), version: file => this.workspace.version(file),
      openFiles: [...this.documents.keys()].map(uri => this.path(uri)), settings: this.settings, token: { get cancelled() { return token.isCancellationRequested; } },
      pause: async () => {
        await new Promise<void>(resolve => setImmediate(resolve));
        if (token.isCancellationRequested) throw new ResponseError(LSPErrorCodes.RequestCancelled, 'The request was cancelled.');
        if (stamp !== this.stamp) throw new ResponseError(LSPErrorCodes.ContentModified, 'The text has changed.');
      },
    };
  }

  private async guarded(what: string, work: () => Promise<unknown>): Promise<void> {
    try {
      await work();
    } catch (error) {
      this.log(what, error);
    }
  }

  private log(what: string, error: unknown): void {
    this.connection.console.error(`${what}: ${error instanceof Error ? error.stack ?? error.message : String(error)}`);
  }

  // ---- addresses --------------------------------------------------------------------------------------------------------

  private path(uri: string): string {
    const parsed = URI.parse(uri);
    if (parsed.scheme === 'gusset') return LIBRARY + parsed.path.slice(1);
    if (this.folderUri) {
      const root = URI.parse(this.folderUri).path.replace(/\/$/, '');
      if (parsed.path.startsWith(`${root}/`)) return parsed.path.slice(root.length + 1);
    }
    return parsed.path.replace(/^\//, '');
  }

  private uri(path: string): string {
    if (path.startsWith(LIBRARY)) return URI.from({ scheme: 'gusset', path: `/${path.slice(LIBRARY.length)}` }).toString();
    if (!this.folderUri) return URI.from({ scheme: 'file', path: `/${path}` }).toString();
    const root = URI.parse(this.folderUri);
    return root.with({ path: `${root.path.replace(/\/$/, '')}/${path}` }).toString();
  }
}

/** Where a request says which document it is about. */
interface RequestParams { readonly textDocument?: { readonly uri: string }; readonly item?: { readonly uri?: string }; readonly data?: { readonly uri?: string } }

function documentOf(params: RequestParams): string | undefined {
  return params.textDocument?.uri ?? params.item?.uri ?? params.data?.uri;
}

/** Adds capabilities; several features may share one. */
function merge(into: Record<string, unknown>, from: Readonly<Record<string, unknown>>): void {
  for (const [name, value] of Object.entries(from)) {
    const known = into[name];
    if (isRecord(known) && isRecord(value)) merge(known, value);
    else into[name] = isRecord(value) ? structuredClone(value) : value;
  }
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
