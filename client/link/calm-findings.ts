/** Holds new findings back while someone types, as `calm.ts` decides. */
import * as vscode from 'vscode';
import type { HandleDiagnosticsSignature } from 'vscode-languageclient';
import { isTyping, settledFindings } from './calm.js';
import { setting } from './setting.js';

export class CalmFindings implements vscode.Disposable {
  /** What the editor was given last, by address. */
  private readonly shown = new Map<string, readonly vscode.Diagnostic[]>();
  /** What waits to be shown whole. */
  private readonly held = new Map<string, () => void>();
  private restsAt = 0;
  private timer: ReturnType<typeof setTimeout> | undefined;
  private readonly listening = vscode.workspace.onDidChangeTextDocument(({ document, contentChanges, reason }) => {
    if (document.languageId !== 'gusset' || contentChanges.length === 0) return;
    if (reason === undefined && isTyping(contentChanges)) this.wait();
    else this.release();
  });

  readonly handle = (uri: vscode.Uri, found: vscode.Diagnostic[], next: HandleDiagnosticsSignature): void => {
    const address = uri.toString();
    const typing = Date.now() < this.restsAt;
    const calm = typing ? [...settledFindings(this.shown.get(address) ?? [], found)] : found;
    const isWhole = calm.length === found.length;
    if (isWhole) this.held.delete(address);
    else this.held.set(address, () => this.show(address, () => next(uri, found), found));
    this.show(address, () => next(uri, calm), calm);
  };

  dispose(): void {
    clearTimeout(this.timer);
    this.listening.dispose();
  }

  private show(address: string, tell: () => void, findings: readonly vscode.Diagnostic[]): void {
    if (findings.length > 0) this.shown.set(address, findings);
    else this.shown.delete(address);
    tell();
  }

  private wait(): void {
    const delay = setting<number>('calmDelay');
    this.restsAt = Date.now() + delay;
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.release(), delay);
  }

  private release(): void {
    clearTimeout(this.timer);
    this.restsAt = 0;
    const waiting = [...this.held.values()];
    this.held.clear();
    for (const show of waiting) show();
  }
}
