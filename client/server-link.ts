/** The link to the language server: started, restarted after it ended, stopped; its state as events. */
import * as vscode from 'vscode';
import { CloseAction, ErrorAction, State, type BaseLanguageClient, type CloseHandlerResult, type LanguageClientOptions } from 'vscode-languageclient';
import type { ClientOptions, Message } from '../server/protocol/messages.js';

export type ServerState = 'starting' | 'running' | 'stopped';

/** How this platform reaches a server. */
export type CreateClient = (options: LanguageClientOptions) => BaseLanguageClient;

const states: Readonly<Record<State, ServerState>> = { [State.Stopped]: 'stopped', [State.Starting]: 'starting', [State.StartFailed]: 'stopped', [State.Running]: 'running' };

/** A server that ends more often than this within `restartMinutes` is left alone. */
const restartLimit = 5;
const restartMinutes = 3;

const initializationOptions: ClientOptions = { servesFiles: true };

export class ServerLink implements vscode.Disposable {
  private readonly log = vscode.window.createOutputChannel('Gusset', { log: true });
  private readonly stateChanged = new vscode.EventEmitter<ServerState>();
  readonly onDidChangeState = this.stateChanged.event;
  private readonly client: BaseLanguageClient;
  private readonly disposables: vscode.Disposable[] = [this.log, this.stateChanged];
  private endings: number[] = [];

  constructor(createClient: CreateClient) {
    // Evidence of any kind may come and go; only what is read can change.
    const watchers = [vscode.workspace.createFileSystemWatcher('**/*.{gus,csv}'), vscode.workspace.createFileSystemWatcher('**/*', false, true, false)];
    this.client = createClient({
      documentSelector: [{ language: 'gusset' }],
      synchronize: { fileEvents: watchers },
      initializationOptions,
      outputChannel: this.log,
      errorHandler: { error: () => ({ action: ErrorAction.Continue, handled: true }), closed: () => this.ended() },
    });
    this.disposables.push(...watchers, this.client.onDidChangeState(({ newState }) => this.stateChanged.fire(states[newState])));
  }

  get state(): ServerState {
    return states[this.client.state];
  }

  async start(): Promise<void> {
    await this.client.start().catch((error: unknown) => this.tellStopped(`The Gusset language server did not start: ${error instanceof Error ? error.message : String(error)}`));
  }

  async restart(): Promise<void> {
    this.endings = [];
    // A server that hangs or is gone can't say goodbye.
    await this.client.stop().catch(() => undefined);
    await this.start();
  }

  async stop(): Promise<void> {
    await this.client.stop().catch(() => undefined);
  }

  showLog(): void {
    this.log.show();
  }

  request<Params, Result>(message: Message<Params, Result>, params: Params, token?: vscode.CancellationToken): Promise<Result> {
    return this.client.sendRequest<Result>(message.method, params, token);
  }

  /** Answers what the server asks. */
  onRequest<Params, Result>(message: Message<Params, Result>, answer: (params: Params) => Promise<Result>): void {
    this.disposables.push(this.client.onRequest(message.method, answer as (params: Params) => Promise<never>));
  }

  /** An address as the editor's own object. */
  uri(address: string): vscode.Uri {
    return this.client.protocol2CodeConverter.asUri(address);
  }

  dispose(): void {
    for (const disposable of this.disposables) disposable.dispose();
  }

  private ended(): CloseHandlerResult {
    const now = Date.now();
    this.endings = [...this.endings, now].filter(time => now - time < restartMinutes * 60_000);
    if (this.endings.length <= restartLimit) return { action: CloseAction.Restart, handled: true };
    this.tellStopped(`The Gusset language server ended ${this.endings.length} times in ${restartMinutes} minutes and stays stopped.`);
    return { action: CloseAction.DoNotRestart, handled: true };
  }

  private tellStopped(message: string): void {
    const [restart, showLog] = ['Restart', 'Show Log'];
    void vscode.window.showErrorMessage(message, restart, showLog).then(choice => {
      if (choice === restart) void this.restart();
      if (choice === showLog) this.showLog();
    });
  }
}
