/**
 * Requirements in the platform's Testing view: parts are suites, files and milestones are tags, and results follow what
 * is typed while the profile runs continuously.
 */
import * as vscode from 'vscode';
import type { ProjectOverview, RequirementOverview } from '../../server/protocol/overview.js';
import type { ProjectState } from '../link/project-state.js';
import { setting } from '../link/setting.js';
import { rangeAt, verdict } from '../common/looks.js';

export function activateTesting(context: vscode.ExtensionContext, state: ProjectState): void {
  context.subscriptions.push(new RequirementTests(state));
}

/** An item as it ought to be: a project, a part or a requirement. */
interface Wanted {
  readonly id: string;
  readonly label: string;
  readonly description: string | undefined;
  readonly requirement: RequirementOverview | undefined;
  readonly children: Map<string, Wanted>;
}

class RequirementTests implements vscode.Disposable {
  private readonly controller = vscode.tests.createTestController('gusset', 'Gusset');
  private readonly requirements = new WeakMap<vscode.TestItem, RequirementOverview>();
  /** What was last reported of each item. */
  private readonly reported = new WeakMap<vscode.TestItem, string>();
  private readonly tags = new Map<string, vscode.TestTag>();
  private readonly listening: vscode.Disposable;
  private discovered: Promise<void> | undefined;
  private readonly continuous = new Set<vscode.TestRunRequest>();

  constructor(private readonly state: ProjectState) {
    // Nothing is asked for before the view is looked at.
    this.controller.resolveHandler = item => (item ? undefined : (this.discovered ??= this.discover()));
    this.controller.refreshHandler = () => this.discover();
    this.controller.createRunProfile(
      vscode.l10n.t('Evaluate'),
      vscode.TestRunProfileKind.Run,
      (request, token) => this.run(request, token),
      true,
      undefined,
      true,
    );
    this.listening = vscode.Disposable.from(
      state.onDidChange(() => {
        if (this.discovered) this.discovered = this.follow();
      }),
      state.onDidOutdate(() => {
        for (const [, item] of this.controller.items) item.busy = true;
      }),
    );
  }

  dispose(): void {
    this.listening.dispose();
    this.controller.dispose();
  }

  // ---- items --------------------------------------------------------------------------------------------------------

  private async discover(): Promise<void> {
    const projects = await this.state.overview();
    this.place(this.controller.items, wantedOf(projects));
    if (this.state.current) for (const [, item] of this.controller.items) item.busy = false;
  }

  /** Makes the items those that are wanted; what is there already is kept, with its results. */
  private place(items: vscode.TestItemCollection, wanted: ReadonlyMap<string, Wanted>): void {
    const gone = [...items].filter(([id]) => !wanted.has(id));
    for (const [id] of gone) items.delete(id);
    for (const want of wanted.values()) {
      const known = items.get(want.id);
      const item =
        known && known.uri?.toString() === want.requirement?.location.uri
          ? known
          : this.controller.createTestItem(
              want.id,
              want.label,
              want.requirement && vscode.Uri.parse(want.requirement.location.uri),
            );
      this.describe(item, want);
      if (item !== known) items.add(item);
      this.place(item.children, want.children);
    }
  }

  private describe(item: vscode.TestItem, { description, requirement, label }: Wanted): void {
    if (item.label !== label) item.label = label;
    if (item.description !== description) item.description = description;
    if (!requirement) return;
    const known = this.requirements.get(item);
    this.requirements.set(item, requirement);
    const range = setting<boolean>('gutterMarks') ? undefined : placeOf(requirement);
    if (range ? !item.range?.isEqual(range) : item.range) item.range = range;
    const names = tagNames(requirement);
    if (!known || names.join() !== tagNames(known).join()) item.tags = names.map(name => this.tag(name));
  }

  private tag(name: string): vscode.TestTag {
    let tag = this.tags.get(name);
    if (!tag) this.tags.set(name, (tag = new vscode.TestTag(name)));
    return tag;
  }

  // ---- runs ---------------------------------------------------------------------------------------------------------

  private async run(request: vscode.TestRunRequest, token: vscode.CancellationToken): Promise<void> {
    if (request.continuous) {
      this.continuous.add(request);
      token.onCancellationRequested(() => this.continuous.delete(request));
    }
    await (this.discovered ??= this.discover());
    if (!token.isCancellationRequested) this.report(request, this.among(request));
  }

  /** After a change: results that moved are reported where someone asked for it, and marked as outdated where not. */
  private async follow(): Promise<void> {
    await this.discover();
    const watched = new Set<vscode.TestItem>();
    for (const request of this.continuous) {
      const moved = this.among(request).filter(item => {
        watched.add(item);
        return this.reported.get(item) !== this.outcome(item);
      });
      if (moved.length > 0) this.report(new vscode.TestRunRequest(moved, undefined, request.profile, true), moved);
    }
    const outdated = leaves(this.controller.items).filter(
      item => !watched.has(item) && this.reported.has(item) && this.reported.get(item) !== this.outcome(item),
    );
    for (const item of outdated) this.reported.delete(item);
    if (outdated.length > 0) this.controller.invalidateTestResults(outdated);
  }

  private among({ include, exclude }: vscode.TestRunRequest): vscode.TestItem[] {
    const without = new Set(exclude?.flatMap(item => leaves(item)) ?? []);
    const all = include ? include.flatMap(item => leaves(item)) : leaves(this.controller.items);
    return all.filter(item => !without.has(item));
  }

  private report(request: vscode.TestRunRequest, items: readonly vscode.TestItem[]): void {
    const run = this.controller.createTestRun(request, undefined, !request.continuous);
    for (const item of items) {
      const requirement = this.requirements.get(item);
      if (!requirement) continue;
      this.reported.set(item, this.outcome(item));
      report(run, item, requirement);
    }
    run.end();
  }

  private outcome(item: vscode.TestItem): string {
    const requirement = this.requirements.get(item);
    return requirement
      ? [verdict(requirement), requirement.applied, requirement.allowable, ...requirement.reasons].join('\n')
      : '';
  }
}

function report(run: vscode.TestRun, item: vscode.TestItem, requirement: RequirementOverview): void {
  const { label, status, reasons } = requirement;
  // At the requirement: behind its check stands the margin already.
  const place = requirement.location;
  const location = new vscode.Location(vscode.Uri.parse(place.uri), rangeAt(place));
  run.appendOutput(
    `${[`${label}: ${verdict(requirement)}`, ...reasons.map(reason => `  ${reason}`)].join('\r\n')}\r\n`,
    location,
    item,
  );
  switch (status) {
    case 'failing':
      return run.failed(item, located(failure(requirement), location));
    case 'undetermined':
      return run.errored(item, located(new vscode.TestMessage(sentence(requirement)), location));
    case 'verified':
      return run.passed(item);
    default:
      return run.skipped(item);
  }
}

/** Where no marks are asked for; with them a requirement has one mark, that of its status. */
function placeOf({ check, location }: RequirementOverview): vscode.Range {
  return rangeAt(check?.uri === location.uri ? check : location);
}

function failure(requirement: RequirementOverview): vscode.TestMessage {
  const { allowable, applied } = requirement;
  return allowable === null || applied === null
    ? new vscode.TestMessage(sentence(requirement))
    : vscode.TestMessage.diff(sentence(requirement), allowable, applied);
}

function sentence(requirement: RequirementOverview): string {
  return [`${requirement.label}: ${verdict(requirement)}`, ...requirement.reasons].join('\n');
}

function located(message: vscode.TestMessage, location: vscode.Location): vscode.TestMessage {
  message.location = location;
  return message;
}

function tagNames({ location, milestones }: RequirementOverview): readonly string[] {
  return [decodeURIComponent(location.uri.slice(location.uri.lastIndexOf('/') + 1)), ...milestones];
}

function leaves(from: vscode.TestItem | vscode.TestItemCollection): vscode.TestItem[] {
  if (!('children' in from)) return [...from].flatMap(([, item]) => leaves(item));
  return from.children.size === 0 ? [from] : leaves(from.children);
}

// ---- what is wanted -------------------------------------------------------------------------------------------------

function wantedOf(projects: readonly ProjectOverview[]): ReadonlyMap<string, Wanted> {
  const roots = new Map<string, Wanted>();
  for (const project of projects.filter(({ requirements }) => requirements.length > 0)) {
    const { children } = suite(roots, project.uri, project.name, project.revision ?? undefined);
    const titles = new Map(project.parts.map(({ part, title }) => [part, title]));
    for (const requirement of project.requirements) {
      let inside = children;
      const names = requirement.part?.split('.') ?? [];
      names.forEach((name, index) => {
        const path = names.slice(0, index + 1).join('.');
        inside = suite(inside, `part ${path}`, name, titles.get(path) ?? undefined).children;
      });
      const { label, location, margin } = requirement;
      const id = inside.has(label) ? `${label} ${location.uri} ${location.line}` : label;
      inside.set(id, { id, label, description: margin ?? undefined, requirement, children: new Map() });
    }
  }
  return roots;
}

function suite(among: Map<string, Wanted>, id: string, label: string, description: string | undefined): Wanted {
  let known = among.get(id);
  if (!known) among.set(id, (known = { id, label, description, requirement: undefined, children: new Map() }));
  return known;
}
