/** Mass by part: predicted mass with all below it, against the cap. */
import * as vscode from 'vscode';
import { kilograms } from '../common/numbers.js';
import type { PartOverview, ProjectOverview } from '../../server/protocol/overview.js';
import type { ProjectState } from '../link/project-state.js';
import { openCommand } from '../common/looks.js';
import { byProject, group, OverviewTree, row, type Node, type Row } from './tree.js';

export function activateMassByPart(context: vscode.ExtensionContext, state: ProjectState): void {
  context.subscriptions.push(new OverviewTree('gusset.massByPart', state, massRows));
}

function massRows(projects: readonly ProjectOverview[], view: vscode.TreeView<Node>): readonly Row[] {
  view.message =
    projects
      .filter(project => project.parts.length > 0)
      .map(project => (projects.length > 1 ? `${project.name}: ${budget(project)}` : budget(project)))
      .join('\n') || undefined;
  return byProject(projects, ({ parts }) => partRows(parts, 0));
}

/** `41.6 kg predicted of 46 kg, 4.404 kg left` */
function budget({ massPredicted, massLimit }: ProjectOverview): string {
  const predicted = massText(massPredicted);
  if (massLimit === null) return vscode.l10n.t('{0} predicted, no cap given', predicted);
  if (massPredicted === null) return vscode.l10n.t('predicted mass undetermined, {0} allowed', massText(massLimit));
  const left = massLimit - massPredicted;
  return left < 0
    ? vscode.l10n.t('{0} predicted, {1} above the {2} allowed', predicted, massText(-left), massText(massLimit))
    : vscode.l10n.t('{0} predicted of {1}, {2} left', predicted, massText(massLimit), massText(left));
}

/** `parts` stand in the order of the tree, each before those below it. */
function partRows(parts: readonly PartOverview[], depth: number): readonly Row[] {
  const starts = parts.flatMap((part, index) => (part.depth === depth ? [index] : []));
  return starts.map((start, index) => partRow(parts[start]!, parts.slice(start + 1, starts[index + 1])));
}

function partRow(part: PartOverview, below: readonly PartOverview[]): Row {
  const name = part.part.slice(part.part.lastIndexOf('.') + 1);
  const tried =
    part.tried !== null && part.tried !== part.predicted ? vscode.l10n.t('{0} tried', massText(part.tried)) : null;
  const description = [massText(part.predicted), part.count === 1 ? null : `× ${part.count}`, part.maturity, tried]
    .filter(Boolean)
    .join(' · ');
  const details = { tooltip: tooltip(part), ...(part.location ? { command: openCommand(part.location) } : {}) };
  return below.length === 0
    ? row(part.part, name, description, details)
    : group(part.part, name, description, part.depth === 0, () => partRows(below, part.depth + 1), details);
}

function tooltip({ part, title, count, basic, predicted }: PartOverview): vscode.MarkdownString {
  const markdown = new vscode.MarkdownString('**')
    .appendText(part)
    .appendMarkdown('** ')
    .appendText(title ?? '')
    .appendMarkdown('\n\n');
  const masses = vscode.l10n.t('{0} basic, {1} predicted with growth', massText(basic), massText(predicted));
  return markdown.appendText(count === 1 ? masses : vscode.l10n.t('{0}; all {1} of them', masses, count));
}

function massText(mass: number | null): string {
  return mass === null ? vscode.l10n.t('undetermined') : kilograms(mass);
}
