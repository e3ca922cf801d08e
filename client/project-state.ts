/** What the views show of the projects: asked for when it is looked at, and again when the server says that it settled. */
import * as vscode from 'vscode';
import { settledMessage } from '../server/protocol/messages.js';
import { overviewMessage, type ProjectOverview } from '../server/protocol/overview.js';
import type { ServerLink } from './server-link.js';

/** A large workspace is asked again only when the server has been left alone for so many times what an answer takes. */
const RESTS = 2;

export class ProjectState implements vscode.Disposable {
  private readonly changed = new vscode.EventEmitter<void>();
  /** Something may have moved. */
  readonly onDidChange = this.changed.event;
  private readonly disposables: vscode.Disposable[] = [this.changed];
  private last: readonly ProjectOverview[] = [];
  private asked: Promise<readonly ProjectOverview[]> | undefined;
  /** Whether this life of the server has read and judged everything once. */
  private settled = false;
  private answerTime = 0;
  /** Whether an answer is awaited, and whether it will be out of date when it comes. */
  private asking: 'no' | 'yes' | 'again' = 'no';
  private waiting: ReturnType<typeof setTimeout> | undefined;

  constructor(private readonly link: ServerLink) {
    link.onNotification(settledMessage, () => this.afterRest());
    this.disposables.push(link.onDidChangeState(() => {
      this.settled = false;
      this.refresh();
    }));
    // The server has other things to do while someone types, and says so when it is done.
    this.disposables.push(vscode.workspace.onDidChangeTextDocument(({ document, contentChanges }) => { if (document.languageId === 'gusset' && contentChanges.length > 0) clearTimeout(this.waiting); }));
  }

  /** Every project of the workspace; empty while the server is stopped. Asked once for all who look. */
  overview(): Promise<readonly ProjectOverview[]> {
    this.asked ??= this.ask();
    return this.asked;
  }

  refresh(): void {
    clearTimeout(this.waiting);
    this.asked = undefined;
    this.changed.fire();
  }

  dispose(): void {
    clearTimeout(this.waiting);
    for (const disposable of this.disposables) disposable.dispose();
  }

  private afterRest(): void {
    if (this.asking !== 'no') this.asking = 'again';
    else this.refreshAfter(this.settled ? RESTS * this.answerTime : 0);
    this.settled = true;
  }

  private refreshAfter(rest: number): void {
    clearTimeout(this.waiting);
    this.waiting = setTimeout(() => this.refresh(), rest);
  }

  private wasOvertaken(): boolean {
    const overtaken = this.asking === 'again';
    this.asking = 'no';
    return overtaken;
  }

  private async ask(): Promise<readonly ProjectOverview[]> {
    if (this.link.state === 'stopped') return this.last = [];
    if (!this.settled) {
      await new Promise<void>(resolve => { const listening = this.onDidChange(() => { listening.dispose(); resolve(); }); });
      return this.overview();
    }
    this.asking = 'yes';
    const start = performance.now();
    const projects = await this.link.request(overviewMessage, {}).catch(() => null);
    this.answerTime = performance.now() - start;
    if (this.wasOvertaken()) this.refreshAfter(RESTS * this.answerTime);
    // Where the text moved on meanwhile, what was known stands until the server settles again.
    return this.last = projects ?? this.last;
  }
}
