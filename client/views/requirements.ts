/** The requirements of all projects, by status, part or milestone, those that hold the words of a filter. */
import * as vscode from 'vscode';
import {
  STATUSES,
  type PartOverview,
  type ProjectOverview,
  type RequirementOverview,
} from '../../server/protocol/overview.js';
import { grouped } from '../common/grouped.js';
import { reveal } from '../common/locations.js';
import type { ProjectState } from '../link/project-state.js';
import {
  countedStatuses,
  countsText,
  countStatuses,
  openCommand,
  requirementTooltip,
  statusIcon,
  summary,
  verdict,
} from '../common/looks.js';
import { requirementAt } from './requirement-at.js';
import { byProject, group, OverviewTree, row, type Node, type Row } from './tree.js';

const GROUPINGS = ['status', 'part', 'milestone'] as const;
type Grouping = (typeof GROUPINGS)[number];

const groupingKey = 'gusset.requirements.grouping';
const filteredKey = 'gusset.requirements.filtered';
/** Why no requirement is listed, once that is known. */
const emptyKey = 'gusset.requirements.empty';
/** The row of the requirement at the cursor is shown unless that unfolds more rows than this. */
const most = 500;
const cursorRest = 150;

interface RequirementNode extends Node {
  readonly requirement: RequirementOverview;
}

export function activateRequirements(context: vscode.ExtensionContext, state: ProjectState): void {
  context.subscriptions.push(new Requirements(context.workspaceState, state));
}

class Requirements implements vscode.Disposable {
  private grouping: Grouping;
  private filter = '';
  private readonly tree: OverviewTree;
  private readonly disposables: vscode.Disposable[];
  private following: ReturnType<typeof setTimeout> | undefined;

  constructor(
    private readonly memory: vscode.Memento,
    private readonly state: ProjectState,
  ) {
    const remembered = memory.get<Grouping>(groupingKey);
    this.grouping = GROUPINGS.find(each => each === remembered) ?? 'status';
    this.publish();
    this.tree = new OverviewTree('gusset.requirements', state, (projects, view) => this.rows(projects, view));
    this.disposables = [
      this.tree,
      vscode.commands.registerCommand('gusset.groupByStatus', () => this.groupBy('status')),
      vscode.commands.registerCommand('gusset.groupByPart', () => this.groupBy('part')),
      vscode.commands.registerCommand('gusset.groupByMilestone', () => this.groupBy('milestone')),
      // The button of the view passes the row that was focused last.
      vscode.commands.registerCommand('gusset.filterRequirements', (words?: unknown) =>
        typeof words === 'string' ? this.filterBy(words) : this.askForFilter(),
      ),
      vscode.commands.registerCommand('gusset.clearFilter', () => this.filterBy('')),
      vscode.commands.registerCommand('gusset.showInMarginSheet', ({ requirement }: RequirementNode) =>
        showInMarginSheet(requirement),
      ),
      vscode.window.onDidChangeTextEditorSelection(({ textEditor }) => this.follow(textEditor)),
    ];
  }

  dispose(): void {
    clearTimeout(this.following);
    for (const disposable of this.disposables) disposable.dispose();
  }

  private publish(): void {
    void vscode.commands.executeCommand('setContext', groupingKey, this.grouping);
    void vscode.commands.executeCommand('setContext', filteredKey, this.filter !== '');
  }

  private async groupBy(grouping: Grouping): Promise<void> {
    this.grouping = grouping;
    this.publish();
    this.tree.refresh();
    await this.memory.update(groupingKey, grouping);
  }

  private filterBy(words: string): void {
    this.filter = words.trim();
    this.tree.scope = this.filter ? 'filtered' : '';
    this.publish();
    this.tree.refresh();
  }

  /** Filters while words are typed; Escape brings back what was there. */
  private async askForFilter(): Promise<void> {
    // The list is seen while it is narrowed, and has the focus after that: the button that asked may be gone by then.
    await vscode.commands.executeCommand('gusset.requirements.focus');
    const before = this.filter;
    const input = vscode.window.createInputBox();
    input.title = vscode.l10n.t('Filter Requirements');
    input.placeholder = vscode.l10n.t('Words of a label, text, part, status or case');
    input.value = before;
    // The list is narrowed while one types: looking at it must not end that.
    input.ignoreFocusOut = true;
    let accepted = false;
    input.onDidChangeValue(words => this.filterBy(words));
    input.onDidAccept(() => {
      accepted = true;
      input.hide();
    });
    input.onDidHide(() => {
      if (!accepted) this.filterBy(before);
      input.dispose();
    });
    input.show();
  }

  private rows(projects: readonly ProjectOverview[], view: vscode.TreeView<Node>): readonly Row[] {
    const words = this.filter.toLowerCase().split(/\s+/).filter(Boolean);
    const shown = projects.map(project => ({
      ...project,
      requirements: words.length === 0 ? project.requirements : project.requirements.filter(holding(words)),
    }));
    const count = (all: readonly ProjectOverview[]): number =>
      all.reduce((sum, { requirements }) => sum + requirements.length, 0);
    const empty = count(projects) === 0 ? 'all' : count(shown) === 0 ? 'filtered' : '';
    void vscode.commands.executeCommand('setContext', emptyKey, empty);
    // A message would stand in place of what is said of an empty view.
    view.message =
      this.filter && !empty
        ? vscode.l10n.t('{0} of {1} hold “{2}”', count(shown), count(projects), this.filter)
        : undefined;
    view.description = vscode.l10n.t(
      'by {0}',
      { status: vscode.l10n.t('status'), part: vscode.l10n.t('part'), milestone: vscode.l10n.t('milestone') }[
        this.grouping
      ],
    );
    return byProject(
      shown.filter(({ requirements }) => requirements.length > 0),
      project => groupRows(project, this.grouping, this.filter !== ''),
    );
  }

  private follow(editor: vscode.TextEditor): void {
    clearTimeout(this.following);
    if (editor.document.languageId !== 'gusset' || !this.tree.view.visible) return;
    this.following = setTimeout(() => void this.select(editor), cursorRest);
  }

  private async select({ document, selection }: vscode.TextEditor): Promise<void> {
    const uri = document.uri.toString();
    const projects = await this.state.overview();
    const project = projects.find(each => each.requirements.some(({ location }) => location.uri === uri));
    const requirement = project && requirementAt(document, selection.active.line, project.requirements);
    if (!requirement) return;
    const path = pathOf(project, requirement, this.grouping);
    if (path) await this.tree.select(projects.length > 1 ? [project.uri, ...path] : path);
  }
}

async function showInMarginSheet({ location }: RequirementOverview): Promise<void> {
  await reveal(location);
  await vscode.commands.executeCommand('gusset.showMarginSheet');
}

/** Whether a requirement holds all words somewhere. */
function holding(words: readonly string[]): (requirement: RequirementOverview) => boolean {
  return requirement => {
    const text = [
      requirement.label,
      requirement.text,
      requirement.part,
      requirement.status,
      requirement.thin ? 'thin' : '',
      requirement.governing,
      ...requirement.milestones,
    ]
      .join(' ')
      .toLowerCase();
    return words.every(word => text.includes(word));
  };
}

// ---- rows -----------------------------------------------------------------------------------------------------------

/** Groups are unfolded where something asks for work, and all of them under a filter. */
function groupRows(project: ProjectOverview, grouping: Grouping, filtered: boolean): readonly Row[] {
  const unfolds: Unfolds = requirements =>
    requirements.length <= most &&
    (filtered ||
      requirements.some(({ status }) =>
        grouping === 'status' ? status !== 'verified' : status === 'failing' || status === 'undetermined',
      ));
  switch (grouping) {
    case 'status':
      return statusRows(project.requirements, unfolds);
    case 'part':
      return partRows(project, unfolds);
    case 'milestone':
      return milestoneRows(project.requirements, unfolds);
  }
}

type Unfolds = (requirements: readonly RequirementOverview[]) => boolean;

function statusRows(requirements: readonly RequirementOverview[], unfolds: Unfolds): readonly Row[] {
  return countedStatuses(countStatuses(requirements)).map(([status, count]) => {
    const within = requirements.filter(each => each.status === status);
    return group(status, capital(status), String(count), unfolds(within), () => requirementRows(within, true));
  });
}

/** `grouped`: the group above says the status. */
function requirementRows(requirements: readonly RequirementOverview[], grouped = false): readonly Row[] {
  const keys = new Set<string>();
  const worstFirst = requirements.toSorted((x, y) => STATUSES.indexOf(x.status) - STATUSES.indexOf(y.status));
  return worstFirst.map(requirement => {
    const { label, location, status } = requirement;
    const key = keys.has(label) ? `${label} ${location.uri} ${location.line}` : label;
    keys.add(label);
    const details = {
      iconPath: statusIcon(status),
      tooltip: requirementTooltip(requirement),
      command: openCommand(location),
      contextValue: 'requirement',
      accessibilityInformation: { label: `${label}, ${verdict(requirement)}, ${requirement.text}` },
    };
    return { ...row(key, label, summary(requirement, grouped), details), requirement };
  });
}

/** `7 · 1 failing`: how many, and how many of those have a status that asks for work. */
function tally(requirements: readonly RequirementOverview[]): string {
  return [
    String(requirements.length),
    countsText(
      countedStatuses(countStatuses(requirements)).filter(([status]) => status !== 'verified' && status !== 'waived'),
    ),
  ]
    .filter(Boolean)
    .join(' · ');
}

function milestoneRows(requirements: readonly RequirementOverview[], unfolds: Unfolds): readonly Row[] {
  const names = [...new Set(requirements.flatMap(({ milestones }) => milestones))].sort();
  const named = names.map(
    name => [name, name, requirements.filter(({ milestones }) => milestones.includes(name))] as const,
  );
  const all = [
    ...named,
    ['', vscode.l10n.t('No milestone'), requirements.filter(({ milestones }) => milestones.length === 0)] as const,
  ];
  return all
    .filter(([, , due]) => due.length > 0)
    .map(([key, label, due]) => group(key, label, tally(due), unfolds(due), () => requirementRows(due)));
}

function partRows({ parts, requirements }: ProjectOverview, unfolds: Unfolds): readonly Row[] {
  const titles = new Map(parts.map(({ part, title }: PartOverview) => [part, title]));
  const loose = requirements.filter(({ part }) => part === null);
  const below = (prefix: string, inside: readonly RequirementOverview[]): readonly Row[] =>
    [...grouped(inside, ({ part }) => part!.slice(prefix.length).split('.')[0]!)].map(([name, within]) => {
      const path = prefix + name;
      const children = (): readonly Row[] => [
        ...below(
          `${path}.`,
          within.filter(({ part }) => part !== path),
        ),
        ...requirementRows(within.filter(({ part }) => part === path)),
      ];
      return group(path, name, tally(within), unfolds(within), children, { tooltip: titles.get(path) ?? path });
    });
  const rows = below(
    '',
    requirements.filter(({ part }) => part !== null),
  );
  return loose.length === 0
    ? rows
    : [...rows, group('', vscode.l10n.t('No part'), tally(loose), unfolds(loose), () => requirementRows(loose))];
}

/** The keys down to a requirement's row; null where too many rows would unfold. */
function pathOf(
  { requirements }: ProjectOverview,
  { label, status, part, milestones }: RequirementOverview,
  grouping: Grouping,
): readonly string[] | null {
  const beside = requirements.filter(each =>
    grouping === 'status'
      ? each.status === status
      : grouping === 'part'
        ? each.part === part
        : each.milestones[0] === milestones[0],
  );
  if (beside.length > most) return null;
  if (grouping === 'status') return [status, label];
  if (grouping === 'milestone') return [milestones[0] ?? '', label];
  const names = part?.split('.') ?? [''];
  return [...names.map((_, index) => names.slice(0, index + 1).join('.')), label];
}

function capital(word: string): string {
  return word[0]!.toUpperCase() + word.slice(1);
}
