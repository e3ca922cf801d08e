/** The wire: documents in, findings and answers out. A defect in a feature becomes a log line, never a dead server. */
import { DiagnosticSeverity, ErrorCodes, ResponseError, TextDocumentSyncKind, type Connection, type Diagnostic, type InitializeParams, type InitializeResult } from 'vscode-languageserver';
import { TextDocument } from 'vscode-languageserver-textdocument';
import { URI } from 'vscode-uri';
import { version } from '../../package.json';
import { NEVER } from '../base/index.js';
import { rangeOf, type Feature, type FeatureContext } from '../features/feature.js';
import { catalogue } from '../features/generated/catalogue.js';
import { LIBRARY, type Finding, type Project } from '../project/project.js';
import { WorkspaceProjects, type WorkspaceFiles } from './workspace.js';

export interface ServerEnvironment {
  /** Files below a folder; undefined where it can't be opened. */
  openFiles(folder: string): Promise<WorkspaceFiles | undefined>;
  /** Today's date, for projects that name none. */
  readonly today: string;
}

const SEVERITIES: Readonly<Record<Finding['severity'], DiagnosticSeverity>> = { error: DiagnosticSeverity.Error, warning: DiagnosticSeverity.Warning, information: DiagnosticSeverity.Information, hint: DiagnosticSeverity.Hint };
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
    for (const feature of catalogue as readonly Feature[]) connection.onRequest(feature.method, (params: never) => this.answer(feature, params));
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
    const capabilities: Record<string, unknown> = { textDocumentSync: { openClose: true, change: TextDocumentSyncKind.Incremental } };
    for (const feature of catalogue as readonly Feature[]) Object.assign(capabilities, feature.capabilities);
    return { capabilities, serverInfo: { name: 'gusset', version } };
  }

  // ---- documents --------------------------------------------------------------------------------------------------------

  private changeDocument(document: TextDocument): void {
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
    }), REST);
  }

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
    const uri = this.uri(path);
    const lines = this.workspace.lines(path);
    const findings = project.findings(path);
    const documentVersion = this.workspace.version(path);
    const key = `${documentVersion} ${findings.map(finding => `${finding.start} ${finding.end} ${finding.severity} ${finding.code} ${finding.message} ${finding.related.length}`).join('\n')}`;
    if (this.published.get(uri) === key || (findings.length === 0 && documentVersion === null && !this.published.has(uri))) return;
    const diagnostics: Diagnostic[] = findings.map(finding => ({
      range: rangeOf(lines, finding.start, finding.end), severity: SEVERITIES[finding.severity], code: finding.code, source: 'gusset', message: finding.message,
      ...(finding.related.length > 0 ? { relatedInformation: finding.related.map(related => ({ message: related.message, location: { uri: this.uri(related.file), range: rangeOf(this.workspace.lines(related.file), related.start, related.end) } })) } : {}),
    }));
    this.published.set(uri, key);
    void this.connection.sendDiagnostics({ uri, diagnostics, ...(documentVersion === null ? {} : { version: documentVersion }) });
  }

  // ---- requests ---------------------------------------------------------------------------------------------------------

  private async answer(feature: Feature, params: { readonly textDocument?: { readonly uri: string } }): Promise<unknown> {
    await this.ready;
    if (this.scheduled) await this.evaluate();
    const path = params.textDocument ? this.path(params.textDocument.uri) : [...this.workspace.paths][0] ?? '';
    const project = this.workspace.project(path);
    if (!project) return null;
    project.update();
    const context: FeatureContext = {
      project, file: path, text: this.workspace.text(path) ?? '', lines: this.workspace.lines(path), uri: file => this.uri(file), linesOf: file => this.workspace.lines(file), token: NEVER,
    };
    try {
      return await feature.handle(context, params as never) ?? null;
    } catch (error) {
      if (error instanceof Error && feature.method === 'textDocument/rename') return new ResponseError(ErrorCodes.InvalidRequest, error.message);
      this.log(feature.method, error);
      return null;
    }
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
