/** Evidence, lots and articles: what is made of which lot, and which evidence for which requirement rests on it. */
import * as vscode from 'vscode';
import { STATUSES, type ChainEntry, type Status } from '../../server/protocol/overview.js';
import type { ProjectState } from '../link/project-state.js';
import { openCommand, statusIcon } from '../common/looks.js';
import { byProject, group, OverviewTree, row, type Row } from './tree.js';

const ICONS: Readonly<Record<ChainEntry['kind'], string>> = {
  material: 'layers',
  lot: 'archive',
  part: 'extensions',
  article: 'tag',
  evidence: 'file',
  requirement: 'checklist',
  waiver: 'law',
};

export function activateChain(context: vscode.ExtensionContext, state: ProjectState): void {
  context.subscriptions.push(
    new OverviewTree('gusset.chain', state, projects => byProject(projects, ({ chain }) => chainRows(chain))),
  );
}

function chainRows(entries: readonly ChainEntry[]): readonly Row[] {
  const keys = new Map<string, number>();
  return entries.map(entry => {
    const key = `${entry.kind} ${entry.label}`;
    const times = keys.get(key) ?? 0;
    keys.set(key, times + 1);
    return chainRow(times === 0 ? key : `${key} ${times}`, entry);
  });
}

function chainRow(key: string, { kind, label, detail, location, children }: ChainEntry): Row {
  const status = kind === 'requirement' ? STATUSES.find(each => each === detail) : undefined;
  const details = { iconPath: iconOf(kind, status), command: openCommand(location) };
  const description = kind === 'requirement' ? detail : [kindWord(kind), detail].filter(Boolean).join(' · ');
  return children.length === 0
    ? row(key, label, description, details)
    : group(key, label, description, false, () => chainRows(children), details);
}

function iconOf(kind: ChainEntry['kind'], status: Status | undefined): vscode.ThemeIcon {
  return status ? statusIcon(status) : new vscode.ThemeIcon(ICONS[kind]);
}

function kindWord(kind: ChainEntry['kind']): string {
  switch (kind) {
    case 'material':
      return vscode.l10n.t('material');
    case 'lot':
      return vscode.l10n.t('lot');
    case 'part':
      return vscode.l10n.t('part');
    case 'article':
      return vscode.l10n.t('article');
    case 'evidence':
      return vscode.l10n.t('evidence');
    case 'requirement':
      return vscode.l10n.t('requirement');
    case 'waiver':
      return vscode.l10n.t('waiver');
  }
}
