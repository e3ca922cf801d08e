/** The wire: documents in, findings and answers out. A defect in a feature becomes a log line, never a dead server. */
import {
  DidChangeWatchedFilesNotification,
  LSPErrorCodes,
  RegistrationRequest,
  ResponseError,
  TextDocumentSyncKind,
  UnregistrationRequest,
  type CancellationToken,
  type Connection,
  type Diagnostic,
  type InitializeParams,
  type InitializeResult,
} from 'vscode-languageserver';
import { TextDocument } from 'vscode-languageserver-textdocument';
import { URI } from 'vscode-uri';
import { version } from '../../package.json';
import { diagnosticsOf, type Places } from '../features/diagnostics.js';
import { Refusal, type ClientSettings, type Feature, type FeatureContext } from '../features/feature.js';
import { catalogue } from '../features/generated/catalogue.js';
import { folderOf, isOutside, isSource } from '../project/paths.js';
import { libraryText, type Finding, type Project } from '../project/project.js';
import { isCalendarDate } from '../protocol/calendar.js';
import {
  judgedMessage,
  libraryTextMessage,
  settingsMessage,
  settledMessage,
  type ClientOptions,
} from '../protocol/messages.js';
import { askAgain, PULLED } from './answering.js';
import { ClientFiles } from './client-files.js';
import { Folders, isLibrary, type Folder, type FolderPath } from './folders.js';
import { later, pause, soon } from './soon.js';
import type { WorkspaceFiles } from './workspace.js';

export interface ServerEnvironment {
  /**
   * Files below a folder; undefined where this machine can't open it. `allowed`: addresses of folders that libraries
   * may lie in.
   */
  openFiles(folder: string, allowed: () => readonly string[]): Promise<WorkspaceFiles | undefined>;
  /** Today's date, for projects that name none. */
  readonly today: string;
}

const FEATURES = (catalogue as readonly (Feature | readonly Feature[])[]).flat();
/** Project-wide findings wait until typing rests. */
const REST = 150;
/** Milliseconds that evaluating and judging take before something else may come in between. */
const SLICE = 15;
/** Milliseconds after which a request is told that the model is still being evaluated. */
const PATIENCE = 600;
const NO_FILES: ReadonlySet<string> = new Set();

export function startServer(connection: Connection, environment: ServerEnvironment): void {
  new Server(connection, environment).start();
}

class Server {
  /** Open documents by their one address. */
  private readonly documents = new Map<string, TextDocument>();
  private readonly folders: Folders;
  /** What was told of files, by their one address, and at which address the client was told. */
  private readonly published = new Map<string, { readonly key: string; readonly uri: string }>();
  private scheduled = false;
  private edited: FolderPath | null = null;
  private resting: ReturnType<typeof setTimeout> | undefined;
  private ready: Promise<void> = Promise.resolve();
  private clientServesFiles = false;
  /** Addresses of folders that the user allows libraries to lie in. */
  private libraryFolders: readonly string[] = [];
  private settings: ClientSettings = { snippets: false, hintsPerLine: 1, views: false, pictures: null };
  /** Whether the editor asks for findings instead of being told them. */
  private pulling = false;
  /** What the editor fetches again when it is told to. */
  private refreshes: readonly string[] = [];
  /** Grows with each change of a text. */
  private stamp = 0;
  /** Folders that are being read and judged for the first time: nothing has settled before they have. */
  private starting = 0;

  constructor(
    private readonly connection: Connection,
    environment: ServerEnvironment,
  ) {
    this.folders = new Folders(
      { today: environment.today, onDefect: (what, error) => this.log(what, error) },
      async uri =>
        (await environment.openFiles(uri, () => [...this.folders.addresses, ...this.libraryFolders])) ??
        (this.clientServesFiles ? new ClientFiles(connection, uri) : undefined),
    );
  }

  start(): void {
    const { connection } = this;
    let opened: InitializeParams | undefined;
    connection.onInitialize(params => {
      opened = params;
      return this.initialize(params);
    });
    connection.onInitialized(() => {
      this.changeFolders(
        opened?.workspaceFolders?.map(folder => folder.uri) ?? (opened?.rootUri ? [opened.rootUri] : []),
        [],
      );
      if (opened?.capabilities.workspace?.workspaceFolders)
        connection.workspace.onDidChangeWorkspaceFolders(({ added, removed }) =>
          this.changeFolders(
            added.map(folder => folder.uri),
            removed.map(folder => folder.uri),
          ),
        );
    });
    connection.onDidOpenTextDocument(({ textDocument }) =>
      this.changeDocument(
        TextDocument.create(textDocument.uri, textDocument.languageId, textDocument.version, textDocument.text),
      ),
    );
    connection.onDidChangeTextDocument(({ textDocument, contentChanges }) => {
      const document = this.documents.get(this.folders.addressOf(textDocument.uri));
      if (document) this.changeDocument(TextDocument.update(document, contentChanges, textDocument.version));
    });
    connection.onDidCloseTextDocument(({ textDocument }) => {
      this.documents.delete(this.folders.addressOf(textDocument.uri));
      void this.guarded('close', async () => {
        await this.ready;
        if (isLibrary(textDocument.uri)) return;
        for (const { folder, path } of this.folders.placesOf(textDocument.uri)) await folder.workspace.setClosed(path);
        this.retractOrphans();
        this.schedule(null);
      });
    });
    connection.onDidChangeWatchedFiles(
      ({ changes }) =>
        void this.guarded('watched files', async () => {
          await this.ready;
          const places = changes
            .filter(change => !this.documents.has(this.folders.addressOf(change.uri)))
            .flatMap(change => this.folders.placesOf(change.uri));
          if (places.length === 0) return;
          for (const folder of new Set(places.map(place => place.folder)))
            await folder.workspace.changedOnDisk(
              places.filter(place => place.folder === folder).map(place => place.path),
            );
          this.changedFiles();
        }),
    );
    connection.onRequest(libraryTextMessage.method, ({ uri }: { uri: string }) =>
      isLibrary(uri) ? (libraryText(this.folders.locate(uri).path) ?? null) : null,
    );
    for (const feature of FEATURES)
      connection.onRequest(feature.method, (params: never, token: CancellationToken) =>
        this.answer(feature, params, token),
      );
    connection.onNotification(settingsMessage.method, (options: ClientOptions) => this.changeSettings(options));
    connection.onDidChangeConfiguration(({ settings }: { settings?: { gusset?: ClientOptions } | null }) =>
      this.changeSettings(settings?.gusset ?? {}),
    );
    connection.onShutdown(() => {
      clearTimeout(this.resting);
      for (const stop of this.following.values()) stop();
    });
    connection.listen();
  }

  private initialize(params: InitializeParams): InitializeResult {
    this.readAbilities(params);
    const capabilities: Record<string, unknown> = {
      textDocumentSync: { openClose: true, change: TextDocumentSyncKind.Incremental },
    };
    for (const feature of FEATURES)
      if (this.pulling || !PULLED.has(feature.method)) merge(capabilities, feature.capabilities);
    merge(capabilities, { workspace: { workspaceFolders: { supported: true, changeNotifications: true } } });
    return { capabilities, serverInfo: { name: 'gusset', version } };
  }

  private readAbilities({ capabilities, initializationOptions }: InitializeParams): void {
    const { textDocument, workspace } = capabilities;
    const options: ClientOptions = (initializationOptions ?? {}) as ClientOptions;
    this.clientServesFiles = options.servesFiles === true;
    this.clientWatches = workspace?.didChangeWatchedFiles?.dynamicRegistration === true;
    this.settings = {
      ...this.settings,
      snippets: textDocument?.completion?.completionItem?.snippetSupport ?? false,
      views: options.hasViews === true,
    };
    this.readSettings(options);
    this.pulling =
      textDocument?.diagnostic !== undefined &&
      (textDocument.publishDiagnostics === undefined || options.diagnostics === 'pull');
    const able: readonly (readonly [string, boolean | undefined])[] = [
      ['workspace/codeLens/refresh', workspace?.codeLens?.refreshSupport],
      ['workspace/inlayHint/refresh', workspace?.inlayHint?.refreshSupport],
      ['workspace/semanticTokens/refresh', workspace?.semanticTokens?.refreshSupport],
      ['workspace/diagnostic/refresh', this.pulling && workspace?.diagnostics?.refreshSupport],
    ];
    this.refreshes = able.filter(([, supported]) => supported).map(([method]) => method);
  }

  private changeFolders(added: readonly string[], removed: readonly string[]): void {
    const before = this.ready;
    this.starting++;
    this.stamp++;
    this.ready = this.guarded('folders', async () => {
      await before;
      await this.folders.change(added, removed);
      const open = [...this.documents.values()];
      this.documents.clear();
      for (const document of open) this.documents.set(this.folders.addressOf(document.uri), document);
      this.handAll();
    });
    void this.guarded('start', async () => {
      try {
        await this.ready;
        this.retractOrphans();
        await this.publishEverything();
      } finally {
        this.starting--;
        this.rest();
      }
    });
  }

  /** Files are others than they were. */
  private changedFiles(): void {
    this.retractOrphans();
    this.schedule(null);
  }

  // ---- watching -----------------------------------------------------------------------------------------------------

  /** Whether the client tells of changed files where it is asked to; else the server looks itself. */
  private clientWatches = false;
  private watched = '';
  private readonly following = new Map<Folder, () => void>();

  /** Sees to it that the server hears of every file that a project rests on. */
  private watchFiles(): void {
    if (this.clientWatches) return this.registerWatchers();
    const folders = new Set(this.folders.all);
    for (const [folder, stop] of this.following)
      if (!folders.has(folder)) {
        stop();
        this.following.delete(folder);
      }
    for (const folder of folders) {
      if (this.following.has(folder)) continue;
      const stop = folder.workspace.watch(
        () => this.changedFiles(),
        message => this.connection.console.warn(`${folder.uri}: ${message}`),
      );
      if (stop) this.following.set(folder, stop);
    }
  }

  /** Asks the client to tell of all sources, of every file that is cited, and of the folders around them. */
  private registerWatchers(): void {
    const globs = new Set<string>(['**/*.[gG][uU][sS]']);
    const outside = new Map<string, { readonly baseUri: string; readonly pattern: string }>();
    for (const folder of this.folders.all)
      for (const path of folder.workspace.rests) {
        if (isOutside(path)) {
          const pattern = globOf(path.slice(path.lastIndexOf('/') + 1));
          outside.set(path, { baseUri: folder.uriOf(folderOf(path)), pattern });
          continue;
        }
        if (!isSource(path)) globs.add(globOf(path));
        for (let around = folderOf(path); around !== ''; around = folderOf(around)) globs.add(globOf(around));
      }
    const watchers = [...[...globs].sort(), ...outside.values()].map(globPattern => ({ globPattern }));
    const key = JSON.stringify(watchers);
    if (key === this.watched) return;
    const isFirst = this.watched === '';
    this.watched = key;
    const [id, method] = ['files', DidChangeWatchedFilesNotification.method];
    void this.guarded('watching', async () => {
      if (!isFirst)
        await this.connection.sendRequest(UnregistrationRequest.type, { unregisterations: [{ id, method }] });
      await this.connection.sendRequest(RegistrationRequest.type, {
        registrations: [{ id, method, registerOptions: { watchers } }],
      });
    });
  }

  // ---- documents ----------------------------------------------------------------------------------------------------

  private changeDocument(document: TextDocument): void {
    if (!isLibrary(document.uri)) this.stamp++;
    this.documents.set(this.folders.addressOf(document.uri), document);
    void this.guarded('change', async () => {
      await this.ready;
      const current = this.documents.get(this.folders.addressOf(document.uri));
      if (!current || current.version !== document.version) return;
      const place = this.hand(current);
      if (place) this.schedule(place);
    });
  }

  /** Gives a document's text to the folder it lies in. The library's documents are not for editing. */
  private hand(document: TextDocument): FolderPath | null {
    if (isLibrary(document.uri)) return null;
    const [place, ...others] = this.folders.placesOf(document.uri);
    place.folder.workspace.setOpen(place.path, document.getText(), document.version);
    for (const { folder, path } of others) folder.workspace.setOpen(path, document.getText(), document.version);
    return place;
  }

  private handAll(): void {
    for (const document of this.documents.values()) this.hand(document);
  }

  /** Edits that come together are evaluated together. */
  private schedule(place: FolderPath | null): void {
    this.edited = place ?? this.edited;
    this.stamp++;
    if (this.scheduled) return;
    this.scheduled = true;
    soon(() => void this.guarded('evaluation', () => this.evaluate()));
  }

  private async evaluate(): Promise<void> {
    this.scheduled = false;
    clearTimeout(this.resting);
    const { edited } = this;
    const project = edited?.folder.workspace.project(edited.path);
    if (project && edited && !(await this.evaluateProject(edited.folder, project, edited.path))) return;
    for (const [folder, other] of this.projects())
      if (other !== project && !(await this.evaluateProject(folder, other, null))) return;
    this.publishUnreadable();
    this.readLibraries();
    this.readData();
    if (this.settings.views && this.starting === 0) void this.connection.sendNotification(judgedMessage.method, {});
    this.rest();
  }

  /** Sources without a text are part of no project, and yet there. */
  private publishUnreadable(): void {
    for (const folder of this.folders.all) for (const path of folder.workspace.takeUntold()) this.publish(folder, path);
  }

  /** Reads libraries that lie elsewhere, beside the typing. */
  private readLibraries(): void {
    for (const { workspace } of this.folders.all)
      if (workspace.lacksLibraries)
        void this.guarded('libraries', async () => {
          if (!(await workspace.readLibraries())) return;
          this.handAll();
          this.changedFiles();
        });
  }

  /** Reads data files beside the typing: who types on has their numbers, too. */
  private readData(): void {
    for (const [folder, project] of this.projects())
      if (project.missingData().length > 0)
        void this.guarded('data', async () => {
          if (await folder.workspace.loadData(project)) this.schedule(null);
        });
  }

  /** Evaluates and publishes one project, the edited file first. False where a newer text has made it pointless. */
  private async evaluateProject(folder: Folder, project: Project, edited: string | null): Promise<boolean> {
    const isPointless = (): boolean => this.scheduled;
    if (!(await inSlices(project.refreshSteps(), isPointless))) return false;
    if (edited !== null) {
      if (!(await inSlices(project.judgeSteps(edited), isPointless))) return false;
      this.publish(folder, edited);
    }
    const judged = await inSlices(project.judgeSteps(), isPointless);
    for (const path of project.takeDirty()) folder.pending.add(path);
    if (!judged) return false;
    await this.publishRest(folder, NO_FILES, edited);
    return !this.scheduled;
  }

  private *projects(): Generator<readonly [Folder, Project]> {
    for (const folder of this.folders.all) for (const project of folder.workspace.all) yield [folder, project];
  }

  /** Files other than the edited one, open ones first; stops where a newer edit waits. */
  private async publishRest(folder: Folder, dirty: ReadonlySet<string>, edited: string | null): Promise<void> {
    const isOpen = (path: string): boolean => this.documents.has(folder.uriOf(path));
    const paths = [...new Set([...folder.pending, ...dirty])]
      .filter(path => path !== edited)
      .sort((x, y) => Number(isOpen(y)) - Number(isOpen(x)));
    folder.pending = new Set(paths);
    let count = 0;
    for (const path of paths) {
      if (this.scheduled) return;
      folder.pending.delete(path);
      this.publish(folder, path);
      if (++count % 20 === 0) await pause();
    }
  }

  /**
   * Once typing rests: data files, findings of whole projects, and the word that all has settled. Whatever comes in
   * between rests anew.
   */
  private rest(): void {
    clearTimeout(this.resting);
    this.resting = setTimeout(
      () =>
        void this.guarded('project findings', async () => {
          const { stamp } = this;
          for (const { workspace } of this.folders.all) {
            const isOtherText = await workspace.readLibraries();
            if (isOtherText) this.handAll();
            if ((await workspace.readDays()) || isOtherText) return this.schedule(null);
          }
          for (const [folder, project] of this.projects()) {
            await folder.workspace.loadData(project);
            // An evaluation may have been given up for the text that came then.
            if (!(await this.evaluateProject(folder, project, null)) || stamp !== this.stamp) return;
            for (const dirty of project.projectFindingSteps()) {
              await this.publishRest(folder, dirty, null);
              await pause();
              if (stamp !== this.stamp) return;
            }
            if (project.unknownFiles().length > 0) this.schedule(null);
          }
          this.refresh();
        }),
      REST,
    );
  }

  /** An edit in one file moves margins in others, which an editor would not look at again by itself. */
  private refresh(): void {
    if (this.refreshed === this.stamp || this.scheduled || this.starting > 0) return;
    this.refreshed = this.stamp;
    this.watchFiles();
    for (const method of this.refreshes) void this.guarded(method, () => this.connection.sendRequest(method));
    if (this.settings.views) void this.connection.sendNotification(settledMessage.method, {});
  }

  private refreshed = -1;

  /** Data files are read before anything is told of what lacks them. */
  private async publishEverything(): Promise<void> {
    const isPointless = (): boolean => this.scheduled;
    this.publishUnreadable();
    for (const [folder, project] of this.projects()) {
      do {
        if (!(await inSlices(project.refreshSteps(), isPointless))) return;
        if (!(await inSlices(project.judgeSteps(), isPointless))) return;
        project.updateProjectFindings();
      } while (await folder.workspace.loadData(project));
      await this.publishRest(folder, new Set(project.files), null);
    }
  }

  /** A defect of ours in the findings of one file doesn't keep back those of others. */
  private publish(folder: Folder, path: string): void {
    if (this.pulling) return;
    try {
      this.replaceFindings(folder, path);
    } catch (error) {
      this.log(`findings of ${path}`, error);
    }
  }

  /**
   * Replaces a file's findings whole, with the version of the document they are for; the same set is not sent again.
   */
  private replaceFindings(folder: Folder, path: string): void {
    const documentVersion = folder.workspace.version(path);
    const found = this.folders
      .placesOf(folder.uriOf(path))
      .map(place => [place.folder, place.folder.workspace.findings(place.path)] as const);
    const key = `${documentVersion} ${found.map(([, findings]) => keyOf(findings)).join('\n\n')}`;
    const isEmpty = found.every(([, findings]) => findings.length === 0);
    const address = folder.uriOf(path);
    const uri = this.clientUri(folder, path);
    const before = this.published.get(address);
    if (before && before.uri !== uri) this.tellFindings(before.uri, []);
    else if (before?.key === key || (!before && isEmpty && documentVersion === null)) return;
    this.published.set(address, { key, uri });
    const told = found.map(([of, findings]) => diagnosticsOf(this.places(of), findings));
    this.tellFindings(uri, told.length === 1 ? told[0]! : unique(told.flat()), documentVersion);
  }

  private tellFindings(uri: string, diagnostics: Diagnostic[], version: number | null = null): void {
    void this.connection.sendDiagnostics({ uri, diagnostics, ...(version === null ? {} : { version }) });
  }

  /** Findings of files that no project holds any more. */
  private retractOrphans(): void {
    for (const [address, { uri }] of this.published) {
      const { folder, path } = this.folders.locate(address);
      const { workspace } = folder;
      const isThere = workspace.project(path) !== undefined || workspace.isUnreadable(path);
      if (isThere && folder.uriOf(path) === address) continue;
      this.published.delete(address);
      this.tellFindings(uri, []);
    }
  }

  /** Settings that the editor changed since it started the server. */
  private changeSettings(options: ClientOptions): void {
    if (this.readSettings(options)) this.schedule(null);
    this.stamp++;
    this.rest();
  }

  /** Takes over what is given and can be understood. Whether projects are to be judged anew. */
  private readSettings({ inlayHintsPerLine, pictures, asOf, libraryFolders }: ClientOptions): boolean {
    if (Array.isArray(libraryFolders)) this.allowLibraries(libraryFolders.filter(path => typeof path === 'string'));
    if (typeof inlayHintsPerLine === 'number') this.settings = { ...this.settings, hintsPerLine: inlayHintsPerLine };
    if (pictures === null || pictures === 'light' || pictures === 'dark')
      this.settings = { ...this.settings, pictures };
    if (asOf !== null && !isCalendarDate(asOf)) return false;
    this.folders.judgeAsOf(asOf);
    return true;
  }

  /** Folders, by their paths on this machine, that libraries may lie in. */
  private allowLibraries(paths: readonly string[]): void {
    const before = this.libraryFolders.join('\n');
    this.libraryFolders = paths.map(path => URI.file(path).toString());
    if (this.libraryFolders.join('\n') === before) return;
    for (const { workspace } of this.folders.all) workspace.forgetLibraries();
    this.schedule(null);
  }

  // ---- requests -----------------------------------------------------------------------------------------------------

  /** A request about no document is put to every folder that has a project, and their lists make one. */
  private async answer(feature: Feature, params: RequestParams, token: CancellationToken): Promise<unknown> {
    const deadline = Date.now() + PATIENCE;
    if (!(await Promise.race([this.ready.then(() => true), later(PATIENCE)]))) return stillEvaluating(feature);
    const uri = documentOf(params);
    if (uri !== undefined) {
      const { folder, path } = this.folders.locate(uri);
      const project = folder.workspace.project(path);
      return project ? this.answerFor(folder, project, path, feature, params, token, deadline) : null;
    }
    const folders = this.folders.all.filter(folder => [...folder.workspace.all].length > 0);
    const answers = await Promise.all(
      folders.map(folder => {
        const [project] = folder.workspace.all;
        return this.answerFor(folder, project!, project!.ownFiles[0] ?? '', feature, params, token, deadline);
      }),
    );
    return answers.every(Array.isArray) ? answers.flat() : (answers.find(answer => answer !== null) ?? null);
  }

  private async answerFor(
    folder: Folder,
    project: Project,
    path: string,
    feature: Feature,
    params: object,
    token: CancellationToken,
    deadline: number,
  ): Promise<unknown> {
    try {
      const isPointless = (): boolean => Date.now() > deadline || token.isCancellationRequested;
      const sharing = folder.workspace.holdersOf(path);
      const others = [...folder.workspace.all].filter(
        other => other !== project && (other.configurations.length === 0 || sharing.includes(other)),
      );
      for (const steps of feature.ofText
        ? []
        : [project.refreshSteps(), project.judgeSteps(path), ...others.map(other => other.refreshSteps())])
        if (!(await inSlices(steps, isPointless))) return stillEvaluating(feature);
      return (await feature.handle(this.context(folder, project, path, token), params as never)) ?? null;
    } catch (error) {
      if (error instanceof ResponseError) return error;
      if (error instanceof Refusal) return new ResponseError(LSPErrorCodes.RequestFailed, error.message);
      this.log(feature.method, error);
      return null;
    }
  }

  private context(folder: Folder, project: Project, path: string, token: CancellationToken): FeatureContext {
    const { stamp } = this;
    const { workspace } = folder;
    return {
      ...this.places(folder),
      project,
      projects: [...workspace.all],
      file: path,
      text: workspace.text(path) ?? '',
      lines: workspace.lines(path),
      path: uri => this.folders.locate(uri).path,
      findings: file => workspace.findings(file),
      version: file => workspace.version(file),
      openFiles: [...this.documents.values()]
        .map(document => this.folders.locate(document.uri))
        .filter(place => place.folder === folder)
        .map(place => place.path),
      settings: this.settings,
      token: {
        get cancelled() {
          return token.isCancellationRequested;
        },
      },
      pause: async () => {
        await pause();
        if (token.isCancellationRequested)
          throw new ResponseError(LSPErrorCodes.RequestCancelled, 'The request was cancelled.');
        if (stamp !== this.stamp) throw new ResponseError(LSPErrorCodes.ContentModified, 'The text has changed.');
      },
    };
  }

  private places(folder: Folder): Places {
    return { uri: file => this.clientUri(folder, file), linesOf: file => folder.workspace.lines(file) };
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
    this.connection.console.error(
      `${what}: ${error instanceof Error ? (error.stack ?? error.message) : String(error)}`,
    );
  }
}

function stillEvaluating({ method }: Feature): ResponseError<unknown> {
  const { code, message, data } = askAgain(method);
  return new ResponseError(code, message, data);
}

/** A path wherever it stands in a workspace, as a pattern: what has a meaning in patterns stands for any character. */
function globOf(path: string): string {
  return `**/${path.replace(/[*?[\]{}!,]/g, '?')}`;
}

/** The same for findings that are told alike. */
function keyOf(findings: readonly Finding[]): string {
  return findings
    .map(
      ({ start, end, severity, code, message, related }) =>
        `${start} ${end} ${severity} ${code} ${message} ${related.length}`,
    )
    .join('\n');
}

/** What is told of a place by several projects alike is told once. */
function unique(diagnostics: readonly Diagnostic[]): Diagnostic[] {
  const seen = new Set<string>();
  return diagnostics.filter(({ code, range, message }) => {
    const key = JSON.stringify([code, range, message]);
    return !seen.has(key) && seen.add(key);
  });
}

/** Does steps a slice at a time. False where they became pointless meanwhile: what is left is left. */
async function inSlices(steps: Iterable<void>, isPointless: () => boolean): Promise<boolean> {
  let begun = Date.now();
  for (const step of steps) {
    void step;
    if (Date.now() - begun < SLICE) continue;
    await pause();
    if (isPointless()) return false;
    begun = Date.now();
  }
  return true;
}

/** Where a request says which document it is about. */
interface RequestParams {
  readonly textDocument?: { readonly uri: string };
  readonly item?: { readonly uri?: string };
  readonly data?: { readonly uri?: string };
}

function documentOf(params: RequestParams): string | undefined {
  return params.textDocument?.uri ?? params.item?.uri ?? params.data?.uri;
}

/** Adds capabilities; several features may share one. */
function merge(into: Record<string, unknown>, from: Readonly<Record<string, unknown>>): Record<string, unknown> {
  for (const [name, value] of Object.entries(from)) {
    const known = into[name];
    into[name] = isRecord(value) ? merge(isRecord(known) ? known : {}, value) : value;
  }
  return into;
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
