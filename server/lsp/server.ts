/** The wire: documents in, findings and answers out. A defect in a feature becomes a log line, never a dead server. */
import { DiagnosticSeverity, ErrorCodes, ResponseError, TextDocumentSyncKind, type Connection, type Diagnostic, type InitializeParams, type InitializeResult } from 'vscode-languageserver';
import { TextDocument } from 'vscode-languageserver-textdocument';
import { version } from '../../package.json';
import { NEVER } from '../base/index.js';
import { rangeOf, type Feature, type FeatureContext } from '../features/feature.js';
import { catalogue } from '../features/generated/catalogue.js';
import { libraryText, type Finding, type Project } from '../project/project.js';
import { libraryTextMessage, type ClientOptions } from '../protocol/messages.js';
import { ClientFiles } from './client-files.js';
import { Folders, isLibrary, normalUri, type Folder, type Place } from './folders.js';
import { pause, soon } from './soon.js';
import type { WorkspaceFiles } from './workspace.js';

export interface ServerEnvironment {
  /** Files below a folder; undefined where this machine can't open it. */
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
  /** Open documents by their normal address. */
  private readonly documents = new Map<string, TextDocument>();
  private readonly folders: Folders;
  private readonly published = new Map<string, string>();
  private scheduled = false;
  private edited: Place | null = null;
  private resting: ReturnType<typeof setTimeout> | undefined;
  private ready: Promise<void> = Promise.resolve();
  private clientServesFiles = false;

  constructor(private readonly connection: Connection, environment: ServerEnvironment) {
    this.folders = new Folders(environment.today, async uri => await environment.openFiles(uri) ?? (this.clientServesFiles ? new ClientFiles(connection, uri) : undefined));
  }

  start(): void {
    const { connection } = this;
    let opened: InitializeParams | undefined;
    connection.onInitialize(params => {
      opened = params;
      return this.initialize(params);
    });
    connection.onInitialized(() => {
      this.changeFolders(opened?.workspaceFolders?.map(folder => folder.uri) ?? (opened?.rootUri ? [opened.rootUri] : []), []);
      if (opened?.capabilities.workspace?.workspaceFolders) connection.workspace.onDidChangeWorkspaceFolders(({ added, removed }) => this.changeFolders(added.map(folder => folder.uri), removed.map(folder => folder.uri)));
    });
    connection.onDidOpenTextDocument(({ textDocument }) => this.changeDocument(TextDocument.create(textDocument.uri, textDocument.languageId, textDocument.version, textDocument.text)));
    connection.onDidChangeTextDocument(({ textDocument, contentChanges }) => {
      const document = this.documents.get(normalUri(textDocument.uri));
      if (document) this.changeDocument(TextDocument.update(document, contentChanges, textDocument.version));
    });
    connection.onDidCloseTextDocument(({ textDocument }) => {
      this.documents.delete(normalUri(textDocument.uri));
      void this.guarded('close', async () => {
        await this.ready;
        if (isLibrary(textDocument.uri)) return;
        const { folder, path } = this.folders.locate(textDocument.uri);
        await folder.workspace.setClosed(path);
        this.retractOrphans();
        this.schedule(null);
      });
    });
    connection.onDidChangeWatchedFiles(({ changes }) => void this.guarded('watched files', async () => {
      await this.ready;
      const places = changes.filter(change => !this.documents.has(normalUri(change.uri))).map(change => this.folders.locate(change.uri));
      if (places.length === 0) return;
      for (const folder of new Set(places.map(place => place.folder))) await folder.workspace.changedOnDisk(places.filter(place => place.folder === folder).map(place => place.path));
      this.retractOrphans();
      this.schedule(null);
    }));
    connection.onRequest(libraryTextMessage.method, ({ uri }: { uri: string }) => isLibrary(uri) ? libraryText(this.folders.locate(uri).path) ?? null : null);
    for (const feature of catalogue as readonly Feature[]) connection.onRequest(feature.method, (params: never) => this.answer(feature, params));
    connection.onShutdown(() => clearTimeout(this.resting));
    connection.listen();
  }

  private initialize(params: InitializeParams): InitializeResult {
    this.clientServesFiles = (params.initializationOptions as ClientOptions | undefined)?.servesFiles === true;
    const capabilities: Record<string, unknown> = { textDocumentSync: { openClose: true, change: TextDocumentSyncKind.Incremental } };
    for (const feature of catalogue as readonly Feature[]) Object.assign(capabilities, feature.capabilities);
    capabilities.workspace = { ...capabilities.workspace as object | undefined, workspaceFolders: { supported: true, changeNotifications: true } };
    return { capabilities, serverInfo: { name: 'gusset', version } };
  }

  private changeFolders(added: readonly string[], removed: readonly string[]): void {
    const before = this.ready;
    this.ready = this.guarded('folders', async () => {
      await before;
      await this.folders.change(added, removed);
      for (const document of this.documents.values()) this.hand(document);
    });
    void this.guarded('start', async () => {
      await this.ready;
      this.retractOrphans();
      await this.publishEverything();
    });
  }

  // ---- documents --------------------------------------------------------------------------------------------------------

  private changeDocument(document: TextDocument): void {
    this.documents.set(normalUri(document.uri), document);
    void this.guarded('change', async () => {
      await this.ready;
      const current = this.documents.get(normalUri(document.uri));
      if (!current || current.version !== document.version) return;
      const place = this.hand(current);
      if (place) this.schedule(place);
    });
  }

  /** Gives a document's text to the folder it lies in. The library's documents are not for editing. */
  private hand(document: TextDocument): Place | null {
    if (isLibrary(document.uri)) return null;
    const place = this.folders.locate(document.uri);
    place.folder.workspace.setOpen(place.path, document.getText(), document.version);
    return place;
  }

  /** Edits that come together are evaluated together. */
  private schedule(place: Place | null): void {
    this.edited = place ?? this.edited;
    if (this.scheduled) return;
    this.scheduled = true;
    soon(() => void this.guarded('evaluation', () => this.evaluate()));
  }

  private async evaluate(): Promise<void> {
    this.scheduled = false;
    clearTimeout(this.resting);
    const { edited } = this;
    const project = edited?.folder.workspace.project(edited.path);
    if (project && edited) {
      const dirty = project.update();
      this.publish(edited.folder, project, edited.path);
      await this.publishRest(edited.folder, project, dirty, edited.path);
    }
    for (const [folder, other] of this.projects()) if (other !== project) await this.publishRest(folder, other, other.update(), null);
    this.rest();
  }

  private *projects(): Generator<readonly [Folder, Project]> {
    for (const folder of this.folders.all) for (const project of folder.workspace.all) yield [folder, project];
  }

  /** Files other than the edited one, open ones first; stops where a newer edit waits. */
  private async publishRest(folder: Folder, project: Project, dirty: ReadonlySet<string>, edited: string | null): Promise<void> {
    const isOpen = (path: string): boolean => this.documents.has(folder.uriOf(path));
    const paths = [...new Set([...folder.pending, ...dirty])].filter(path => path !== edited).sort((x, y) => Number(isOpen(y)) - Number(isOpen(x)));
    folder.pending = new Set(paths);
    let count = 0;
    for (const path of paths) {
      if (this.scheduled) return;
      folder.pending.delete(path);
      this.publish(folder, folder.workspace.project(path) ?? project, path);
      if (++count % 20 === 0) await pause();
    }
  }

  private rest(): void {
    clearTimeout(this.resting);
    this.resting = setTimeout(() => void this.guarded('project findings', async () => {
      for (const [folder, project] of this.projects()) {
        if (await folder.workspace.loadData(project)) await this.publishRest(folder, project, project.update(), null);
        if (this.scheduled) return;
        for (const dirty of project.projectFindingSteps()) {
          await this.publishRest(folder, project, dirty, null);
          await pause();
          if (this.scheduled) return;
        }
        if (project.unknownFiles().length > 0) this.schedule(null);
      }
    }), REST);
  }

  private async publishEverything(): Promise<void> {
    for (const [folder, project] of this.projects()) {
      project.update();
      project.updateProjectFindings();
      if (await folder.workspace.loadData(project)) {
        project.update();
        project.updateProjectFindings();
      }
      await this.publishRest(folder, project, new Set(project.files), null);
    }
    this.rest();
  }

  /** Replaces a file's findings whole, with the version of the document they are for; the same set is not sent again. */
  private publish(folder: Folder, project: Project, path: string): void {
    const { workspace } = folder;
    const lines = workspace.lines(path);
    const findings = project.findings(path);
    const documentVersion = workspace.version(path);
    const key = `${documentVersion} ${findings.map(finding => `${finding.start} ${finding.end} ${finding.severity} ${finding.code} ${finding.message} ${finding.related.length}`).join('\n')}`;
    const uri = folder.uriOf(path);
    if (this.published.get(uri) === key || (findings.length === 0 && documentVersion === null && !this.published.has(uri))) return;
    const diagnostics: Diagnostic[] = findings.map(finding => ({
      range: rangeOf(lines, finding.start, finding.end), severity: SEVERITIES[finding.severity], code: finding.code, source: 'gusset', message: finding.message,
      ...(finding.related.length > 0 ? { relatedInformation: finding.related.map(related => ({ message: related.message, location: { uri: this.clientUri(folder, related.file), range: rangeOf(workspace.lines(related.file), related.start, related.end) } })) } : {}),
    }));
    this.published.set(uri, key);
    void this.connection.sendDiagnostics({ uri: this.clientUri(folder, path), diagnostics, ...(documentVersion === null ? {} : { version: documentVersion }) });
  }

  /** Findings of files that no project holds any more. */
  private retractOrphans(): void {
    for (const uri of this.published.keys()) {
      const { folder, path } = this.folders.locate(uri);
      if (folder.workspace.project(path)) continue;
      this.published.delete(uri);
      void this.connection.sendDiagnostics({ uri, diagnostics: [] });
    }
  }

  // ---- requests ---------------------------------------------------------------------------------------------------------

  /** A request about no document is put to every project, and their lists make one. */
  private async answer(feature: Feature, params: { readonly textDocument?: { readonly uri: string } }): Promise<unknown> {
    await this.ready;
    if (this.scheduled) await this.evaluate();
    if (params.textDocument) {
      const { folder, path } = this.folders.locate(params.textDocument.uri);
      const project = folder.workspace.project(path);
      return project ? this.answerFor(folder, project, path, feature, params) : null;
    }
    const answers = await Promise.all([...this.projects()].map(([folder, project]) => this.answerFor(folder, project, project.files[0] ?? '', feature, params)));
    return answers.every(Array.isArray) ? answers.flat() : answers.find(answer => answer !== null) ?? null;
  }

  private async answerFor(folder: Folder, project: Project, path: string, feature: Feature, params: object): Promise<unknown> {
    project.update();
    const { workspace } = folder;
    const context: FeatureContext = {
      project, file: path, text: workspace.text(path) ?? '', lines: workspace.lines(path), uri: file => this.clientUri(folder, file), linesOf: file => workspace.lines(file), token: NEVER,
    };
    try {
      return await feature.handle(context, params as never) ?? null;
    } catch (error) {
      if (error instanceof Error && feature.method === 'textDocument/rename') return new ResponseError(ErrorCodes.InvalidRequest, error.message);
      this.log(feature.method, error);
      return null;
    }
  }

  /** The address of a file as the client spells it. */
  private clientUri(folder: Folder, path: string): string {
    const uri = folder.uriOf(path);
    return this.documents.get(uri)?.uri ?? uri;
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
}
