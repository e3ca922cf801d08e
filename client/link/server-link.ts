/** The link to the language server: started, restarted after it ended, stopped; its state as events. */
import * as vscode from 'vscode';
import {
  CloseAction,
  ErrorAction,
  ErrorCodes,
  LSPErrorCodes,
  ResponseError,
  type BaseLanguageClient,
  type LanguageClientOptions,
} from 'vscode-languageclient';
import type { ClientOptions, Message } from '../../server/protocol/messages.js';
import { CalmFindings } from './calm-findings.js';

export type ServerState = 'starting' | 'running' | 'stopped';

/** How this platform reaches a server. */
export type CreateClient = (options: LanguageClientOptions) => BaseLanguageClient;

/** A server that ends more often than this within `restartMinutes` is left alone. */
const restartLimit = 5;
const restartMinutes = 3;
/** Milliseconds until a server that is still evaluating is asked again. */
const ASK_AGAIN = 200;
/** Milliseconds that a stop waits for a start: one that hangs must not keep anyone from another try. */
const START_PATIENCE = 10_000;

export class ServerLink implements vscode.Disposable {
  private readonly log = vscode.window.createOutputChannel('Gusset', { log: true });
  private readonly stateChanged = new vscode.EventEmitter<ServerState>();
  readonly onDidChangeState = this.stateChanged.event;
  // What is cited may come and go by itself or with its folder; what is read is told of as the server asks.
  private readonly watchers = [vscode.workspace.createFileSystemWatcher('**/*', false, true, false)];
  private readonly answers: ((client: BaseLanguageClient) => void)[] = [];
  /** One for each life of the server: a client whose server died while it started can't be started again. */
  private client: BaseLanguageClient | undefined;
  private started: Promise<void> = Promise.resolve();
  private currentState: ServerState = 'stopped';
  private endings: number[] = [];
  private calm = new CalmFindings();

  /** `options` are read anew for each life of the server. */
  constructor(
    private readonly createClient: CreateClient,
    private readonly options: () => ClientOptions,
  ) {}

  get state(): ServerState {
    return this.currentState;
  }

  start(): Promise<void> {
    this.started = this.launch();
    return this.started;
  }

  async restart(): Promise<void> {
    await this.stop();
    this.endings = [];
    await this.start();
  }

  async stop(): Promise<void> {
    await Promise.race([this.settled(), new Promise(resolve => setTimeout(resolve, START_PATIENCE))]);
    const { client } = this;
    this.client = undefined;
    // A server that hangs or is gone can't say goodbye.
    await client?.stop().catch(() => undefined);
    this.enter('stopped');
  }

  showLog(): void {
    this.log.show();
  }

  async request<Params, Result>(
    message: Message<Params, Result>,
    params: Params,
    token?: vscode.CancellationToken,
  ): Promise<Result> {
    for (;;) {
      await this.started;
      if (!this.client) throw new Error(vscode.l10n.t('The Gusset language server is not running.'));
      try {
        // A token that isn't there would be sent as a second parameter, in the place of the server's own.
        return await (token
          ? this.client.sendRequest<Result>(message.method, params, token)
          : this.client.sendRequest<Result>(message.method, params));
      } catch (error) {
        const isEvaluating = error instanceof ResponseError && error.code === LSPErrorCodes.ContentModified;
        if (!isEvaluating || token?.isCancellationRequested) throw error;
        await new Promise(resolve => setTimeout(resolve, ASK_AGAIN));
      }
    }
  }

  /** Answers what the server asks; to be said before the start. */
  onRequest<Params, Result>(message: Message<Params, Result>, answer: (params: Params) => Promise<Result>): void {
    this.answers.push(client => client.onRequest(message.method, answer as (params: Params) => Promise<never>));
  }

  /** Hears what the server tells; to be said before the start. */
  onNotification<Params>(message: Message<Params, void>, hear: (params: Params) => void): void {
    this.answers.push(client => client.onNotification(message.method, hear));
  }

  /** Tells the server; nothing where it isn't there. */
  notify<Params>(message: Message<Params, void>, params: Params): void {
    if (this.currentState === 'running') void this.client?.sendNotification(message.method, params);
  }

  dispose(): void {
    for (const disposable of [...this.watchers, this.calm, this.stateChanged, this.log]) disposable.dispose();
  }

  /** When no start is under way: one that fails may have begun another. */
  private async settled(): Promise<void> {
    for (let last: Promise<void> | undefined; last !== this.started;) await (last = this.started);
  }

  private async launch(): Promise<void> {
    this.enter('starting');
    this.calm.dispose();
    this.calm = new CalmFindings();
    const client = this.createClient({
      documentSelector: [{ language: 'gusset' }],
      middleware: { handleDiagnostics: this.calm.handle },
      synchronize: { fileEvents: this.watchers },
      initializationOptions: this.options(),
      outputChannel: this.log,
      initializationFailedHandler: () => false,
      errorHandler: {
        error: () => ({ action: ErrorAction.Continue, handled: true }),
        closed: () => {
          this.ended(client);
          return { action: CloseAction.DoNotRestart, handled: true };
        },
      },
    });
    // What goes wrong is said once, here, with a way on; the client library's own words go to the log.
    client.error = (message, data) => this.log.error(message, ...(data === undefined ? [] : [data]));
    this.client = client;
    for (const answer of this.answers) answer(client);
    try {
      await client.start();
      if (this.client === client) this.enter('running');
    } catch (error) {
      // What the server says is final; what the way to it says may be that the server ended, before that was heard.
      if (!(error instanceof ResponseError) || error.code === ErrorCodes.PendingResponseRejected)
        return this.ended(client);
      if (this.client !== client) return;
      this.client = undefined;
      this.giveUp(vscode.l10n.t('The Gusset language server did not start: {0}', error.message));
    }
  }

  private ended(client: BaseLanguageClient): void {
    if (this.client !== client) return;
    this.client = undefined;
    const now = Date.now();
    this.endings = [...this.endings, now].filter(time => now - time < restartMinutes * 60_000);
    if (this.endings.length <= restartLimit) void this.start();
    else
      this.giveUp(
        vscode.l10n.t(
          'The Gusset language server ended {0} times in {1} minutes and stays stopped.',
          this.endings.length,
          restartMinutes,
        ),
      );
  }

  private giveUp(message: string): void {
    this.enter('stopped');
    const [restart, showLog] = [vscode.l10n.t('Restart'), vscode.l10n.t('Show Log')];
    void vscode.window.showErrorMessage(message, restart, showLog).then(choice => {
      if (choice === restart) void this.restart();
      if (choice === showLog) this.showLog();
    });
  }

  private enter(state: ServerState): void {
    if (state === this.currentState) return;
    this.currentState = state;
    this.stateChanged.fire(state);
  }
}
