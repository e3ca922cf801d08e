/** The margin sheet beside the text: the page, what it asks the server, and what it asks the editor. */
import * as vscode from 'vscode';
import {
  applyTrialMessage,
  choicesMessage,
  plotMessage,
  sheetMessage,
  sheetRowsMessage,
  spectraMessage,
  triableMessage,
  trialMessage,
  workedMessage,
  zeroMarginMessage,
  type PictureColors,
  type Plot,
  type PlotSubject,
  type AboutProject,
  type Sheet,
  type Triable,
} from '../../../server/protocol/sheet.js';
import type { Message } from '../../../server/protocol/messages.js';
import type { Location } from '../../../server/protocol/overview.js';
import { reveal } from '../../common/locations.js';
import type { ProjectState } from '../../link/project-state.js';
import type { ServerLink } from '../../link/server-link.js';
import type { FromPage, ProjectName, ToPage, TriedText } from './messages.js';

/** Most rows in a message to the page. */
const ROWS_AT_ONCE = 1_000;
const viewType = 'gusset.marginSheet';
/** Codes of the protocol: request cancelled, content modified. */
const OUTDATED: ReadonlySet<unknown> = new Set([-32800, -32801]);

export function activateMarginSheet(context: vscode.ExtensionContext, link: ServerLink, state: ProjectState): void {
  let open: MarginSheet | undefined;
  const adopt = (panel: vscode.WebviewPanel): MarginSheet => {
    const sheet = new MarginSheet(panel, context.extensionUri, link, state);
    open = sheet;
    panel.onDidDispose(() => {
      if (open === sheet) open = undefined;
    });
    return sheet;
  };
  const show = (): MarginSheet => {
    open?.reveal();
    return (
      open ??
      adopt(
        vscode.window.createWebviewPanel(
          viewType,
          'Margin Sheet',
          { viewColumn: vscode.ViewColumn.Beside, preserveFocus: true },
          { enableFindWidget: true },
        ),
      )
    );
  };
  context.subscriptions.push(
    // With a location, the cursor goes there first: the sheet follows it.
    vscode.commands.registerCommand('gusset.showMarginSheet', async (at?: Location) => {
      if (isLocation(at)) await reveal(at);
      show();
    }),
    vscode.commands.registerCommand('gusset.tryValue', async (at?: Location) => {
      if (isLocation(at)) await reveal(at);
      await show().tryAtCursor();
    }),
    vscode.commands.registerCommand('gusset.applyTrial', () => open?.apply()),
    vscode.commands.registerCommand('gusset.dropTrial', () => open?.drop()),
    vscode.window.registerWebviewPanelSerializer(viewType, {
      deserializeWebviewPanel: panel => {
        adopt(panel);
        return Promise.resolve();
      },
    }),
    { dispose: () => open?.dispose() },
  );
}

/** A button in a title bar hands over other things. */
function isLocation(at: unknown): at is Location {
  return typeof (at as Location | undefined)?.line === 'number';
}

type InSight = Extract<FromPage, { readonly kind: 'inSight' }>;

/** Waits for the page to have been loaded: it says so itself. */
class MarginSheet implements vscode.Disposable {
  private readonly disposables: vscode.Disposable[] = [];
  private ready = false;
  private readonly waiting: ToPage[] = [];
  /** A document of the project that is shown, and the version of its sheet that the page has. */
  private project: string | null = null;
  private version: number | null = null;
  private updating: Promise<void> = Promise.resolve();
  /** A fetch that has not begun, for all who ask meanwhile, and whether it asks for the projects too. */
  private asked: { projects: boolean } | null = null;
  private projects: readonly ProjectName[] = [];
  /** Rows that the page asked for last. */
  private inSight: InSight = { kind: 'inSight', n: 0, ids: [] };
  private isAskingInSight = false;
  private editor = vscode.window.activeTextEditor;
  /** What is tried, and whether the server that runs now was told. */
  private tried: readonly TriedText[] = [];
  private told = true;

  constructor(
    private readonly panel: vscode.WebviewPanel,
    extension: vscode.Uri,
    private readonly link: ServerLink,
    private readonly state: ProjectState,
  ) {
    const out = vscode.Uri.joinPath(extension, 'out');
    panel.iconPath = vscode.Uri.joinPath(extension, 'client', 'file-icon.svg');
    panel.webview.options = { enableScripts: true, localResourceRoots: [out] };
    panel.webview.html = pageHtml(panel.webview, out);
    this.disposables.push(
      panel.webview.onDidReceiveMessage((message: FromPage) =>
        this.receive(message).catch((error: unknown) => this.tell(error)),
      ),
      panel.onDidDispose(() => this.dispose()),
      // A page that is out of sight is gone; when it comes back it says that it is ready.
      panel.onDidChangeViewState(() => {
        if (panel.visible) this.update();
        else this.ready = false;
      }),
      link.onDidChangeState(now => {
        if (now !== 'running') this.told = this.tried.length === 0;
      }),
      state.onDidChange(() => {
        if (panel.visible) this.update();
      }),
      state.onDidJudge(() => {
        if (panel.visible) this.update(false);
      }),
      state.onDidOutdate(() => this.post({ kind: 'outdated' })),
      vscode.window.onDidChangeTextEditorSelection(({ textEditor }) => this.follow(textEditor)),
      vscode.window.onDidChangeActiveTextEditor(editor => {
        if (editor) this.follow(editor);
      }),
    );
  }

  reveal(): void {
    this.panel.reveal(undefined, true);
  }

  private post(message: ToPage): void {
    if (this.ready) void this.panel.webview.postMessage(message);
    else if (message.kind === 'tryable') this.waiting.push(message);
  }

  private async receive(message: FromPage): Promise<void> {
    switch (message.kind) {
      case 'ready': {
        this.ready = true;
        this.version = null;
        this.project ??= message.project;
        if (this.tried.length === 0 && message.tried.length > 0) {
          this.tried = message.tried;
          this.told = false;
          this.tellTrial();
        }
        this.update();
        for (const waiting of this.waiting.splice(0)) this.post(waiting);
        return;
      }
      case 'choose':
        this.project = message.project;
        this.version = null;
        return this.update();
      case 'inSight':
        return this.tellInSight(message);
      case 'open':
        return reveal(message.location, true);
      case 'draw':
        return this.post({ kind: 'plot', subject: message.subject, plot: await this.plot(message.subject, 'page') });
      case 'spectra':
        return this.post({ kind: 'spectra', loads: (await this.ask(spectraMessage, {})) ?? [] });
      case 'tryAtCursor':
        return this.tryAtCursor();
      case 'try':
        return this.tryValues(message.values);
      case 'work':
        return this.post({
          kind: 'worked',
          row: message.row,
          worked: await this.ask(workedMessage, { row: message.row }),
        });
      case 'choices':
        return this.post({
          kind: 'choices',
          name: message.name,
          choices: (await this.ask(choicesMessage, { name: message.name })) ?? [],
        });
      case 'zeroMargin': {
        const found = await this.ask(zeroMarginMessage, { name: message.name, row: message.row });
        return found ? this.post({ kind: 'zeroMargin', name: message.name, ...found }) : undefined;
      }
      case 'apply':
        return this.apply();
      case 'copy':
        return vscode.env.clipboard.writeText(message.text);
      case 'save':
        return this.save(message.name, message.format, new TextEncoder().encode(message.content));
      case 'savePixels': {
        const plot = await this.plot(message.subject, 'light');
        return plot ? this.post({ kind: 'pixels', name: message.name, svg: plot.svg }) : undefined;
      }
      case 'pixels':
        return this.save(
          message.name,
          'png',
          Uint8Array.from(atob(message.base64), character => character.charCodeAt(0)),
        );
    }
  }

  private about(project: string): { readonly textDocument: { readonly uri: string } } {
    return { textDocument: { uri: project } };
  }

  private async plot(subject: PlotSubject, colors: PictureColors): Promise<Plot | null> {
    return this.ask(plotMessage, { subject, colors });
  }

  /** Asks about the project that is shown; null where none is. */
  private async ask<Params, Result>(
    message: Message<Params & AboutProject, Result>,
    params: Params,
  ): Promise<Result | null> {
    return this.project === null ? null : this.link.request(message, { ...this.about(this.project), ...params });
  }

  /** Fetches what moved. One fetch at a time: each builds on the version before. */
  private update(projects = true): void {
    if (this.asked) return void (this.asked.projects ||= projects);
    const asked = { projects };
    this.asked = asked;
    this.updating = this.updating
      .then(() => {
        this.asked = null;
        return this.fetch(asked.projects);
      })
      .catch((error: unknown) => this.tell(error));
  }

  private async fetch(askProjects: boolean): Promise<void> {
    if (!this.ready) return;
    if (askProjects || this.projects.length === 0)
      this.projects = (await this.state.counts()).map(({ uri, name }) => ({ uri, name }));
    const { projects } = this;
    const known = projects.find(project => project.uri === this.project) ?? projects[0];
    if (!known)
      return this.post({
        kind: 'empty',
        message:
          this.link.state === 'running'
            ? 'No project yet: open a folder with .gus files, or run “Gusset: Create Example Project”.'
            : 'The language server is not running: run “Gusset: Restart Language Server”.',
      });
    if (known.uri !== this.project) this.version = null;
    this.project = known.uri;
    if (!this.told) {
      this.told = true;
      await this.link.request(trialMessage, { ...this.about(known.uri), values: this.tried });
    }
    const sheet = await this.link.request(sheetMessage, { ...this.about(known.uri), known: this.version });
    if (!sheet) return;
    this.version = sheet.version;
    await this.postSheet(sheet, known.uri, projects);
    if (!this.state.marginsCurrent) this.post({ kind: 'outdated' });
    if (this.editor) this.follow(this.editor);
  }

  /**
   * A message of a thousand rows takes a few milliseconds to read, here, in the editor's window and in the page; one of
   * all rows would be seen to stutter.
   */
  private async postSheet(sheet: Sheet, project: string, projects: readonly ProjectName[]): Promise<void> {
    let from = 0;
    for (; sheet.rows.length - from > ROWS_AT_ONCE; from += ROWS_AT_ONCE) {
      await this.panel.webview.postMessage({
        kind: 'rows',
        rows: sheet.rows.slice(from, from + ROWS_AT_ONCE),
      } satisfies ToPage);
    }
    this.post({ kind: 'sheet', sheet: { ...sheet, rows: sheet.rows.slice(from) }, project, projects });
  }

  /** The rows in sight before all the others: asked for once at a time, of the texts as they are by then. */
  private async tellInSight(wanted: InSight): Promise<void> {
    this.inSight = wanted;
    if (this.isAskingInSight) return;
    this.isAskingInSight = true;
    try {
      for (let asked: InSight | null = null; asked !== this.inSight;) {
        asked = this.inSight;
        const { n, ids } = asked;
        const rows = await this.ask(sheetRowsMessage, { ids });
        if (rows && asked === this.inSight) this.post({ kind: 'inSight', n, rows });
      }
    } finally {
      this.isAskingInSight = false;
    }
  }

  private follow(editor: vscode.TextEditor): void {
    if (editor.document.languageId !== 'gusset') return;
    this.editor = editor;
    if (this.ready && this.panel.visible)
      this.post({ kind: 'cursor', uri: editor.document.uri.toString(), line: editor.selection.active.line });
  }

  // ---- trial --------------------------------------------------------------------------------------------------------

  async tryAtCursor(): Promise<void> {
    const { editor } = this;
    if (!editor) return;
    const about = this.about(editor.document.uri.toString());
    const found = (await this.link.request(triableMessage, { ...about, position: editor.selection.active })) ?? [];
    if (found.length === 0) {
      void vscode.window.showInformationMessage(
        'Place the cursor on a value first: a thickness, a load, a material. Then try another for it.',
      );
      return;
    }
    const chosen = found.length === 1 ? found[0] : await chooseValue(found);
    if (!chosen) return;
    const choices = (await this.link.request(choicesMessage, { ...about, name: chosen.name })) ?? [];
    this.panel.reveal(undefined, false);
    this.post({ kind: 'tryable', name: chosen.name, written: chosen.written, choices });
  }

  async tryValues(values: readonly TriedText[]): Promise<void> {
    if (this.project === null) return;
    this.tried = values;
    this.told = true;
    this.tellTrial();
    await this.link.request(trialMessage, { ...this.about(this.project), values });
    this.state.refresh();
  }

  /** Writes what is tried into the texts, as one edit that can be undone, and ends the trial. */
  async apply(): Promise<void> {
    if (this.project === null) return;
    const edit = new vscode.WorkspaceEdit();
    const { changes } = await this.link.request(applyTrialMessage, this.about(this.project));
    for (const [uri, edits] of Object.entries(changes)) {
      for (const { range, newText } of edits)
        edit.replace(
          vscode.Uri.parse(uri),
          new vscode.Range(range.start.line, range.start.character, range.end.line, range.end.character),
          newText,
        );
    }
    if (edit.size === 0 || !(await vscode.workspace.applyEdit(edit))) return;
    await this.drop();
  }

  /** Ends the trial: nothing is tried, and the page shows no field. */
  async drop(): Promise<void> {
    await this.tryValues([]);
    this.post({ kind: 'trialEnded' });
  }

  /** For commands that end a trial, and for the step of the walkthrough that is done with the first. */
  private tellTrial(): void {
    const trying = this.tried.length > 0;
    void vscode.commands.executeCommand('setContext', 'gusset.trying', trying);
    if (trying) void vscode.commands.executeCommand('setContext', 'gusset.hasTried', true);
  }

  // ---- files --------------------------------------------------------------------------------------------------------

  private async save(name: string, format: 'svg' | 'csv' | 'png', content: Uint8Array): Promise<void> {
    const file = `${name.replace(/[^\p{L}\p{N}.-]+/gu, '-').replace(/^-+|-+$/g, '') || 'picture'}.${format}`;
    const folder = vscode.workspace.workspaceFolders?.[0]?.uri;
    const target = await vscode.window.showSaveDialog({
      filters: { [format.toUpperCase()]: [format] },
      ...(folder ? { defaultUri: vscode.Uri.joinPath(folder, file) } : {}),
    });
    if (target) await vscode.workspace.fs.writeFile(target, content);
  }

  private tell(error: unknown): void {
    // The text has moved on meanwhile: the server tells when it has settled again.
    if (OUTDATED.has((error as { readonly code?: unknown }).code)) return;
    void vscode.window.showErrorMessage(error instanceof Error ? error.message : String(error));
  }

  dispose(): void {
    for (const disposable of this.disposables.splice(0)) disposable.dispose();
    if (this.link.state === 'running') void this.tryValues([]).catch(() => undefined);
    this.panel.dispose();
  }
}

/** Asks which of the values that a requirement rests on is meant: those of its own part first. */
async function chooseValue(values: readonly Triable[]): Promise<Triable | undefined> {
  const entries = (own: boolean): ValueItem[] =>
    values
      .filter(value => value.own === own)
      .map(value => ({
        label: own ? value.name.slice(value.name.lastIndexOf('.') + 1) : value.name,
        description: value.written.replace(/\s+/g, ' '),
        value,
      }));
  const [own, others] = [entries(true), entries(false)];
  const separator = (label: string): vscode.QuickPickItem => ({ label, kind: vscode.QuickPickItemKind.Separator });
  const items = [
    ...(own.length > 0 ? [separator(vscode.l10n.t('of this part')), ...own] : []),
    ...(others.length > 0 ? [separator(vscode.l10n.t('elsewhere')), ...others] : []),
  ];
  const picked = await vscode.window.showQuickPick<vscode.QuickPickItem & Partial<ValueItem>>(items, {
    placeHolder: vscode.l10n.t('Value to try another for'),
    matchOnDescription: true,
  });
  return picked?.value;
}

interface ValueItem extends vscode.QuickPickItem {
  readonly value: Triable;
}

function pageHtml(webview: vscode.Webview, out: vscode.Uri): string {
  const resource = (name: string): string => webview.asWebviewUri(vscode.Uri.joinPath(out, name)).toString();
  const policy = `default-src 'none'; img-src data:; style-src ${webview.cspSource}; script-src ${webview.cspSource}`;
  return `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Margin Sheet</title>
<link rel="stylesheet" href="${resource('margin-sheet.css')}">
</head>
<body><script src="${resource('margin-sheet.js')}"></script></body>
</html>`;
}
