/** What is shown of the projects: asked for when it is looked at, and again when the server says that it settled. */
import * as vscode from 'vscode';
import { judgedMessage, settledMessage, type Message } from '../../server/protocol/messages.js';
import {
  countsMessage,
  overviewMessage,
  type ProjectCounts,
  type ProjectOverview,
} from '../../server/protocol/overview.js';
import type { ServerLink } from './server-link.js';

/** A large workspace is asked again only when the server has been left alone for so many times what an answer takes. */
const RESTS = 2;

type Question<Answer> = Message<Record<string, never>, readonly Answer[]>;

export class ProjectState implements vscode.Disposable {
  private readonly changed = new vscode.EventEmitter<void>();
  /** Something may have moved. */
  readonly onDidChange = this.changed.event;
  private readonly outdated = new vscode.EventEmitter<void>();
  /** What is shown is older than the texts, until something may have moved and the state is `current`. */
  readonly onDidOutdate = this.outdated.event;
  private readonly judged = new vscode.EventEmitter<void>();
  /** Margins are those of the texts, before all else has settled. */
  readonly onDidJudge = this.judged.event;
  private readonly disposables: vscode.Disposable[] = [this.changed, this.outdated, this.judged];
  private isCurrent = true;
  private isJudged = true;
  /** The last answers, and those that are asked for since something moved, by the name of the question. */
  private readonly last = new Map<string, readonly unknown[]>();
  private readonly asked = new Map<string, Promise<readonly unknown[]>>();
  /** Whether this life of the server has read and judged everything once. */
  private settled = false;
  /** Of the slowest since something moved. */
  private answerTime = 0;
  /** Answers that are awaited, and whether they will be out of date when they come. */
  private awaited = 0;
  private overtaken = false;
  private waiting: ReturnType<typeof setTimeout> | undefined;

  constructor(private readonly link: ServerLink) {
    link.onNotification(settledMessage, () => this.afterRest());
    link.onNotification(judgedMessage, () => {
      this.isJudged = true;
      this.judged.fire();
    });
    this.disposables.push(
      link.onDidChangeState(now => {
        this.settled = false;
        this.isCurrent = now === 'stopped';
        this.refresh();
        if (now !== 'stopped') this.outdate();
      }),
    );
    this.disposables.push(
      vscode.workspace.onDidChangeTextDocument(({ document, contentChanges }) => {
        if (document.languageId !== 'gusset' || contentChanges.length === 0) return;
        // The server has other things to do while someone types, and says so when it is done.
        clearTimeout(this.waiting);
        this.outdate();
      }),
    );
  }

  /** Whether what is answered is as the texts are: nothing was changed since all settled. */
  get current(): boolean {
    return this.isCurrent;
  }

  /** Whether margins are those of the texts. */
  get marginsCurrent(): boolean {
    return this.isCurrent || this.isJudged;
  }

  /** Every project of the workspace; empty while the server is stopped. Asked once for all who look. */
  overview(): Promise<readonly ProjectOverview[]> {
    return this.answer(overviewMessage);
  }

  /** The same in a few numbers, for what shows no more. */
  counts(): Promise<readonly ProjectCounts[]> {
    return this.answer(countsMessage);
  }

  refresh(): void {
    clearTimeout(this.waiting);
    this.asked.clear();
    this.answerTime = 0;
    this.changed.fire();
  }

  dispose(): void {
    clearTimeout(this.waiting);
    for (const disposable of this.disposables) disposable.dispose();
  }

  private outdate(): void {
    this.isCurrent = false;
    this.isJudged = false;
    this.outdated.fire();
  }

  private afterRest(): void {
    if (this.awaited > 0) this.overtaken = true;
    else this.refreshAfter(this.settled ? RESTS * this.answerTime : 0);
    this.settled = true;
  }

  private refreshAfter(rest: number): void {
    clearTimeout(this.waiting);
    this.waiting = setTimeout(() => {
      this.isCurrent = true;
      this.refresh();
    }, rest);
  }

  private answer<Answer>(question: Question<Answer>): Promise<readonly Answer[]> {
    const asked = (this.asked.get(question.method) as Promise<readonly Answer[]> | undefined) ?? this.ask(question);
    this.asked.set(question.method, asked);
    return asked;
  }

  private async ask<Answer>(question: Question<Answer>): Promise<readonly Answer[]> {
    if (this.link.state === 'stopped') {
      this.last.delete(question.method);
      return [];
    }
    if (!this.settled) {
      await new Promise<void>(resolve => {
        const listening = this.onDidChange(() => {
          listening.dispose();
          resolve();
        });
      });
      return this.answer(question);
    }
    this.awaited++;
    const start = performance.now();
    const answer = await this.link.request(question, {}).catch(() => null);
    this.awaited--;
    this.answerTime = Math.max(this.answerTime, performance.now() - start);
    if (this.overtaken && this.awaited === 0) {
      this.overtaken = false;
      this.refreshAfter(RESTS * this.answerTime);
    }
    // Where the text moved on meanwhile, what was known stands until the server settles again.
    if (answer) this.last.set(question.method, answer);
    return (this.last.get(question.method) as readonly Answer[] | undefined) ?? [];
  }
}
