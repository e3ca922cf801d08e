/** How statuses look wherever the platform draws: an icon, a colour of the theme, and the word beside them. */
import * as vscode from 'vscode';
import {
  STATUSES,
  type Location,
  type ProjectCounts,
  type RequirementOverview,
  type Status,
} from '../../server/protocol/overview.js';

const ICONS: Readonly<Record<Status, readonly [icon: string, color: string]>> = {
  failing: ['error', 'problemsErrorIcon.foreground'],
  undetermined: ['question', 'foreground'],
  waived: ['law', 'descriptionForeground'],
  lapsed: ['history', 'problemsWarningIcon.foreground'],
  unverified: ['circle-large-outline', 'problemsInfoIcon.foreground'],
  verified: ['check', 'testing.iconPassed'],
};

export function statusIcon(status: Status): vscode.ThemeIcon {
  const [icon, color] = ICONS[status];
  return new vscode.ThemeIcon(icon, new vscode.ThemeColor(color));
}

/** How many have each status. */
export type StatusCounts = ProjectCounts['requirements'];

export function countStatuses(requirements: readonly RequirementOverview[]): StatusCounts {
  const counts: Partial<Record<Status, number>> = {};
  for (const { status } of requirements) counts[status] = (counts[status] ?? 0) + 1;
  return counts;
}

/** Worst first, without those that none has. */
export function countedStatuses(counts: StatusCounts): readonly (readonly [Status, number])[] {
  return STATUSES.flatMap(status => (counts[status] ? [[status, counts[status]] as const] : []));
}

/** `1 failing · 68 verified` */
export function countsText(counts: readonly (readonly [Status, number])[]): string {
  return counts.map(([status, count]) => `${count} ${status}`).join(' · ');
}

/** `failing -0.06 · thin · Cutoff +axial, 45 °C` */
export function verdict({ status, margin, thin, governing }: RequirementOverview): string {
  return [
    margin === null || margin === status ? status : `${status} ${margin}`,
    thin ? vscode.l10n.t('thin') : null,
    governing,
  ]
    .filter(Boolean)
    .join(' · ');
}

/** Behind the label: `+0.87 · test by QR open · The panel shall …`. `grouped`: a group above says the status. */
export function summary({ status, margin, thin, open, text }: RequirementOverview, grouped: boolean): string {
  const said = grouped ? null : status;
  return [said, margin === status ? null : margin, thin ? vscode.l10n.t('thin') : null, open, text]
    .filter(Boolean)
    .join(' · ');
}

/** What a requirement says and how it stands. Texts of the project are never read as Markdown. */
export function requirementTooltip(requirement: RequirementOverview): vscode.MarkdownString {
  const { label, text, applied, allowable, reasons, part, milestones } = requirement;
  const markdown = new vscode.MarkdownString('**').appendText(label).appendMarkdown('** ').appendText(text);
  markdown.appendMarkdown('\n\n').appendText(verdict(requirement));
  if (applied !== null && allowable !== null)
    markdown.appendMarkdown('\n\n').appendText(vscode.l10n.t('{0} against {1}', applied, allowable));
  for (const reason of reasons) markdown.appendMarkdown('\n- ').appendText(reason);
  const placement = [part, milestones.length > 0 ? vscode.l10n.t('due by {0}', milestones.join(', ')) : null]
    .filter(Boolean)
    .join(' · ');
  if (placement) markdown.appendMarkdown('\n\n').appendText(placement);
  return markdown;
}

export function rangeAt({ line, character }: Location): vscode.Range {
  return new vscode.Range(line, character, line, character);
}

/** What a click on a row of a tree does. */
export function openCommand(location: Location): vscode.Command {
  return {
    command: 'vscode.open',
    title: vscode.l10n.t('Open'),
    arguments: [
      vscode.Uri.parse(location.uri),
      { selection: rangeAt(location) } satisfies vscode.TextDocumentShowOptions,
    ],
  };
}
