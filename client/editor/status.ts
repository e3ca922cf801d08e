/**
 * How things stand, in a line: counts of statuses in the status bar, the server's state beside the language, both as
 * context for views and walkthrough, and all of it as a report.
 */
import * as vscode from 'vscode';
import { STATUSES, type ProjectCounts } from '../../server/protocol/overview.js';
import type { ProjectState } from '../link/project-state.js';
import type { ServerLink, ServerState } from '../link/server-link.js';
import { countedStatuses, countsText, type StatusCounts } from '../common/looks.js';

export function activateStatus(context: vscode.ExtensionContext, link: ServerLink, state: ProjectState): void {
  const bar = vscode.window.createStatusBarItem('gusset.counts', vscode.StatusBarAlignment.Left, 1);
  bar.name = vscode.l10n.t('Gusset Requirements');
  bar.command = 'gusset.requirements.focus';
  const server = beside('gusset.server', vscode.l10n.t('Gusset Language Server'), '', {
    command: 'gusset.restartServer',
    title: vscode.l10n.t('Restart'),
  });
  const log = beside('gusset.log', vscode.l10n.t('Gusset Log'), vscode.l10n.t('What the server had to say'), {
    command: 'gusset.showLog',
    title: vscode.l10n.t('Show Log'),
  });
  const report = beside('gusset.report', vscode.l10n.t('Gusset Report'), vscode.l10n.t('Versions, settings, counts'), {
    command: 'gusset.copyReport',
    title: vscode.l10n.t('Copy Report'),
  });
  const showCounts = async (): Promise<void> => {
    const projects = await state.counts();
    if (state.current) showRequirements(bar, projects);
    await vscode.commands.executeCommand('setContext', 'gusset.hasProject', projects.length > 0);
  };
  const showServer = (now: ServerState): void => {
    showState(server, now);
    void vscode.commands.executeCommand('setContext', 'gusset.server', now);
  };
  const firstEdit = vscode.workspace.onDidChangeTextDocument(({ document, contentChanges }) => {
    if (document.languageId !== 'gusset' || contentChanges.length === 0) return;
    firstEdit.dispose();
    void vscode.commands.executeCommand('setContext', 'gusset.hasEdited', true);
  });
  showServer(link.state);
  context.subscriptions.push(
    bar,
    server,
    log,
    report,
    firstEdit,
    link.onDidChangeState(showServer),
    state.onDidChange(() => void showCounts()),
    state.onDidOutdate(() => fade(bar)),
    vscode.commands.registerCommand('gusset.copyReport', async () => {
      await vscode.env.clipboard.writeText(reportText(context.extension, link.state, await state.counts()));
      void vscode.window.setStatusBarMessage(vscode.l10n.t('Report copied.'), 4000);
    }),
  );
}

function showRequirements(bar: vscode.StatusBarItem, projects: readonly ProjectCounts[]): void {
  const counts = countedStatuses(added(projects.map(({ requirements }) => requirements)));
  if (counts.length === 0) return bar.hide();
  const failing = counts.some(([status]) => status === 'failing');
  bar.text = `${failing ? '$(error) ' : ''}${countsText(counts)}`;
  bar.color = failing ? new vscode.ThemeColor('errorForeground') : undefined;
  bar.tooltip = projects
    .map(project => `${project.name}: ${countsText(countedStatuses(project.requirements))}`)
    .join('\n');
  bar.show();
}

function added(all: readonly StatusCounts[]): StatusCounts {
  return Object.fromEntries(STATUSES.map(status => [status, sum(all.map(counts => counts[status] ?? 0))]));
}

function sum(numbers: readonly number[]): number {
  return numbers.reduce((total, each) => total + each, 0);
}

/** The texts are newer than the counts. */
function fade(bar: vscode.StatusBarItem): void {
  bar.color = new vscode.ThemeColor('disabledForeground');
}

/** A row of what stands beside the language of a document. */
function beside(id: string, name: string, text: string, command: vscode.Command): vscode.LanguageStatusItem {
  return Object.assign(vscode.languages.createLanguageStatusItem(id, { language: 'gusset' }), { name, text, command });
}

function showState(item: vscode.LanguageStatusItem, state: ServerState): void {
  const { Information, Error } = vscode.LanguageStatusSeverity;
  item.busy = state === 'starting';
  item.severity = state === 'stopped' ? Error : Information;
  item.text = {
    starting: vscode.l10n.t('Language server is starting'),
    running: vscode.l10n.t('Language server is running'),
    stopped: vscode.l10n.t('Language server is stopped'),
  }[state];
}

/** For a problem report: no text of a file, no path, no name of a project. */
function reportText(
  { packageJSON }: vscode.Extension<unknown>,
  state: ServerState,
  projects: readonly ProjectCounts[],
): string {
  const settings = Object.keys(
    (packageJSON as { contributes: { configuration: { properties: object } } }).contributes.configuration.properties,
  );
  const chosen = vscode.workspace.getConfiguration();
  return [
    `Gusset ${(packageJSON as { version: string }).version}`,
    `${vscode.env.appName} ${vscode.version}, ${vscode.env.uiKind === vscode.UIKind.Web ? 'web' : 'desktop'}${vscode.env.remoteName ? `, remote: ${vscode.env.remoteName}` : ''}`,
    `Language server: ${state}`,
    `Workspace folders: ${vscode.workspace.workspaceFolders?.length ?? 0}, ${vscode.workspace.isTrusted ? 'trusted' : 'not trusted'}`,
    ...projects.map(
      ({ requirements, parts, configurations }, index) =>
        `Project ${index + 1}: ${sum(Object.values(requirements))} requirements (${countsText(countedStatuses(requirements)) || 'none'}), ${parts} parts, ${configurations} configurations`,
    ),
    'Settings:',
    ...settings.map(name => `  ${name} = ${JSON.stringify(chosen.get(name))}`),
    '',
  ].join('\n');
}
