/** What the views show of the projects: asked for when it is looked at, and again when the server says that it settled. */
import * as vscode from 'vscode';
import { settledMessage } from '../server/protocol/messages.js';
import { overviewMessage, type ProjectOverview } from '../server/protocol/overview.js';
import type { ServerLink } from './server-link.js';

export class ProjectState implements vscode.Disposable {
  private readonly changed = new vscode.EventEmitter<void>();
  /** Something may have moved. */
  readonly onDidChange = this.changed.event;
  private readonly disposables: vscode.Disposable[] = [this.changed];
  private asked: Promise<readonly ProjectOverview[]> | undefined;

  constructor(private readonly link: ServerLink) {
    link.onNotification(settledMessage, () => this.refresh());
    this.disposables.push(link.onDidChangeState(() => this.refresh()));
  }

  /** Every project of the workspace; empty while the server is not there. Asked once for all who look. */
  overview(): Promise<readonly ProjectOverview[]> {
    this.asked ??= this.link.state === 'running' ? this.link.request(overviewMessage, {}).then(projects => projects ?? [], () => []) : Promise.resolve([]);
    return this.asked;
  }

  refresh(): void {
    this.asked = undefined;
    this.changed.fire();
  }

  dispose(): void {
    for (const disposable of this.disposables) disposable.dispose();
  }
}
