/**
 * The status of each requirement beside its line. What is older than the texts is faded until it has been judged again.
 */
import * as vscode from 'vscode';
import { STATUSES, requirementsMessage, type RequirementOverview } from '../../server/protocol/overview.js';
import { grouped } from '../common/grouped.js';
import { markPicture, type Ground, type Mark } from './mark-pictures.js';
import type { ProjectState } from '../link/project-state.js';
import type { ServerLink } from '../link/server-link.js';
import { setting } from '../link/setting.js';
import { rangeAt } from '../common/looks.js';

const MARKS: readonly Mark[] = [...STATUSES, 'thin'];
const RULER: Readonly<Partial<Record<Mark, string>>> = {
  failing: 'editorOverviewRuler.errorForeground',
  thin: 'editorOverviewRuler.warningForeground',
};

export function activateMarks(context: vscode.ExtensionContext, link: ServerLink, state: ProjectState): void {
  context.subscriptions.push(new Marks(link, state));
}

class Marks implements vscode.Disposable {
  private readonly types = new Map<string, vscode.TextEditorDecorationType>();
  private readonly shown = new Map<vscode.TextDocument, readonly RequirementOverview[]>();
  /** Grows with each change of a text. */
  private stamp = 0;
  private current = false;
  private readonly disposables = [
    vscode.workspace.onDidChangeTextDocument(({ document, contentChanges }) => {
      if (document.languageId !== 'gusset' || contentChanges.length === 0) return;
      const shown = this.shown.get(document);
      if (shown)
        this.shown.set(
          document,
          shown.flatMap(requirement => contentChanges.reduce<readonly RequirementOverview[]>(moved, [requirement])),
        );
      this.fade();
    }),
    vscode.workspace.onDidCloseTextDocument(document => this.shown.delete(document)),
    vscode.window.onDidChangeVisibleTextEditors(() => void this.update()),
    vscode.workspace.onDidChangeConfiguration(change => {
      if (change.affectsConfiguration('gusset.gutterMarks')) void this.update();
    }),
  ];

  constructor(
    private readonly link: ServerLink,
    state: ProjectState,
  ) {
    this.disposables.push(
      state.onDidChange(() => void this.update()),
      link.onDidChangeState(() => this.fade()),
    );
  }

  dispose(): void {
    for (const disposable of [...this.disposables, ...this.types.values()]) disposable.dispose();
  }

  private fade(): void {
    this.stamp++;
    if (!this.current) return;
    this.current = false;
    this.draw();
  }

  private async update(): Promise<void> {
    const documents = new Set(
      setting<boolean>('gutterMarks') && this.link.state === 'running' ? editors().map(({ document }) => document) : [],
    );
    for (const document of this.shown.keys()) if (!documents.has(document)) this.shown.delete(document);
    const { stamp } = this;
    await Promise.all(
      [...documents].map(async document => {
        const requirements = await this.link
          .request(requirementsMessage, { textDocument: { uri: document.uri.toString() } })
          .catch(() => null);
        if (stamp === this.stamp && !document.isClosed) this.shown.set(document, requirements ?? []);
      }),
    );
    if (stamp !== this.stamp) return;
    this.current = true;
    this.draw();
  }

  private draw(): void {
    for (const editor of editors()) {
      const marks = grouped(this.shown.get(editor.document) ?? [], markOf);
      for (const mark of MARKS) {
        const requirements = marks.get(mark) ?? [];
        this.place(editor, mark, false, this.current ? requirements : []);
        this.place(editor, mark, true, this.current ? [] : requirements);
      }
    }
  }

  private place(
    editor: vscode.TextEditor,
    mark: Mark,
    faded: boolean,
    requirements: readonly RequirementOverview[],
  ): void {
    const key = `${mark} ${faded}`;
    let type = this.types.get(key);
    if (!type && requirements.length === 0) return;
    if (!type) this.types.set(key, (type = decoration(mark, faded)));
    editor.setDecorations(
      type,
      requirements.map(({ location }) => rangeAt(location)),
    );
  }
}

function editors(): readonly vscode.TextEditor[] {
  return vscode.window.visibleTextEditors.filter(
    ({ document }) => document.languageId === 'gusset' && document.uri.scheme !== 'gusset',
  );
}

/** A requirement in its line after an edit; none where its name was overwritten. */
function moved(
  requirements: readonly RequirementOverview[],
  { range, text }: vscode.TextDocumentContentChangeEvent,
): readonly RequirementOverview[] {
  return requirements.flatMap(requirement => {
    const { location } = requirement;
    const at = rangeAt(location).start;
    if (at.isBefore(range.start)) return [requirement];
    if (at.isBefore(range.end)) return [];
    return [
      {
        ...requirement,
        location: {
          ...location,
          line: location.line + text.split('\n').length - 1 - (range.end.line - range.start.line),
        },
      },
    ];
  });
}

function markOf({ status, thin }: RequirementOverview): Mark {
  return thin && status === 'verified' ? 'thin' : status;
}

function decoration(mark: Mark, faded: boolean): vscode.TextEditorDecorationType {
  const picture = (ground: Ground): vscode.ThemableDecorationRenderOptions => ({
    gutterIconPath: markPicture(mark, ground, faded),
    gutterIconSize: 'contain',
  });
  const ruler = faded ? undefined : RULER[mark];
  return vscode.window.createTextEditorDecorationType({
    light: picture('light'),
    dark: picture('dark'),
    ...(ruler
      ? { overviewRulerColor: new vscode.ThemeColor(ruler), overviewRulerLane: vscode.OverviewRulerLane.Left }
      : {}),
  });
}
