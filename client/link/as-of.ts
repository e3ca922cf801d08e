/**
 * The date by which the projects are judged: each by its own, or for a while all by another. It lives in this window
 * and leaves no trace.
 */
import * as vscode from 'vscode';
import { isCalendarDate } from '../../server/protocol/calendar.js';
import { settingsMessage } from '../../server/protocol/messages.js';
import type { ProjectOverview } from '../../server/protocol/overview.js';
import type { ProjectState } from './project-state.js';
import type { ServerLink } from './server-link.js';

let asked: string | null = null;

/** Null: each project's own date. A server that starts anew is told it again. */
export function judgedAsOf(): string | null {
  return asked;
}

export function activateAsOf(context: vscode.ExtensionContext, link: ServerLink, state: ProjectState): void {
  const bar = vscode.window.createStatusBarItem('gusset.asOf', vscode.StatusBarAlignment.Left, 0);
  bar.name = vscode.l10n.t('Gusset Day of Judgement');
  bar.command = 'gusset.judgeAsOf';
  bar.backgroundColor = new vscode.ThemeColor('statusBarItem.warningBackground');
  bar.color = new vscode.ThemeColor('statusBarItem.warningForeground');
  bar.tooltip = vscode.l10n.t(
    'Statuses, findings and expiry are shown as of this date, not as of the projects\u2019 own.',
  );
  const judge = (date: string | null): void => {
    asked = date;
    if (date === null) bar.hide();
    else {
      bar.text = `$(calendar) ${vscode.l10n.t('as of {0}', date)}`;
      bar.show();
    }
    if (link.state === 'running') link.notify(settingsMessage, { asOf: date });
  };
  context.subscriptions.push(
    bar,
    {
      dispose: () => {
        asked = null;
      },
    },
    vscode.commands.registerCommand('gusset.judgeAsOf', async (date?: unknown) => {
      const chosen = isCalendarDate(date) || date === null ? date : await chooseDate(await state.overview());
      if (chosen !== undefined) judge(chosen);
    }),
  );
}

interface DateItem extends vscode.QuickPickItem {
  readonly date: string | null | undefined;
}

/** The projects' own dates, today, their milestones, or any other day; undefined where nothing was chosen. */
async function chooseDate(projects: readonly ProjectOverview[]): Promise<string | null | undefined> {
  const today = new Date().toLocaleDateString('sv');
  const milestones = new Map(
    projects
      .flatMap(project => project.milestones)
      .map(milestone => [`${milestone.name} ${milestone.date}`, milestone]),
  );
  const items: DateItem[] = [
    {
      label: vscode.l10n.t('Date of the revision'),
      description: [...new Set(projects.map(({ ownDate }) => ownDate))].join(', '),
      date: null,
    },
    { label: vscode.l10n.t('Today'), description: today, date: today },
    ...[...milestones.values()].map(({ name, title, date }) => ({
      label: name,
      description: date,
      ...(title ? { detail: title } : {}),
      date,
    })),
    { label: vscode.l10n.t('Another date…'), date: undefined },
  ];
  const picked = await vscode.window.showQuickPick(items, {
    placeHolder: vscode.l10n.t('Judge statuses, findings and expiry as of'),
    matchOnDescription: true,
  });
  if (!picked || picked.date !== undefined) return picked?.date;
  return vscode.window.showInputBox({
    prompt: vscode.l10n.t('Date by which expiry is judged, as 2027-04-20'),
    validateInput: text => (isCalendarDate(text) ? null : vscode.l10n.t('Write a date of the calendar as 2027-04-20.')),
  });
}
