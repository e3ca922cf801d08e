/**
 * A tree of the overview of all projects: built when it is looked at, a level at a time, and anew when the projects
 * have settled.
 */
import * as vscode from 'vscode';
import type { ProjectOverview } from '../../server/protocol/overview.js';
import type { ProjectState } from '../link/project-state.js';

/** A row; `key` tells it from those beside it, and stays while it means the same. */
export interface Row {
  readonly key: string;
  readonly item: vscode.TreeItem;
  readonly children?: () => readonly Row[];
}

/** A row in its place. */
export interface Node extends Row {
  readonly parent: Node | undefined;
}

export class OverviewTree implements vscode.TreeDataProvider<Node>, vscode.Disposable {
  private readonly changed = new vscode.EventEmitter<void>();
  readonly onDidChangeTreeData = this.changed.event;
  readonly view: vscode.TreeView<Node>;
  private readonly listening: vscode.Disposable;
  /** Ends the sign that what is shown is out of date. */
  private waited: (() => void) | undefined;
  /** Rows under another name unfold anew, as they say themselves. */
  scope = '';
  private known = new Map<Node | undefined, readonly Node[]>();

  /** `rows` are those of the first level; the view may get its message in passing. */
  constructor(
    private readonly name: string,
    private readonly state: ProjectState,
    private readonly rows: (projects: readonly ProjectOverview[], view: vscode.TreeView<Node>) => readonly Row[],
  ) {
    this.view = vscode.window.createTreeView(name, { treeDataProvider: this, showCollapseAll: true });
    this.listening = vscode.Disposable.from(
      state.onDidChange(() => {
        if (state.current) this.waited?.();
        this.refresh();
      }),
      state.onDidOutdate(() => this.wait()),
    );
  }

  /** While rows are asked for the editor says so itself; here it is until they are. */
  private wait(): void {
    if (this.waited || !this.view.visible) return;
    void vscode.window.withProgress(
      { location: { viewId: this.name } },
      () =>
        new Promise<void>(resolve => {
          this.waited = () => {
            this.waited = undefined;
            resolve();
          };
        }),
    );
  }

  /** The editor asks for rows again once the view is visible. */
  refresh(): void {
    this.changed.fire();
  }

  async getChildren(node?: Node): Promise<Node[]> {
    if (!node) {
      const rows = this.rows(await this.state.overview(), this.view);
      this.known = new Map([[undefined, this.placed(rows, undefined)]]);
    }
    return [...this.childrenOf(node)];
  }

  getTreeItem({ item }: Node): vscode.TreeItem {
    return item;
  }

  getParent(node: Node): Node | undefined {
    return node.parent;
  }

  /** Selects a row without taking the focus; `path` holds the keys from the first level on. */
  async select(path: readonly string[]): Promise<void> {
    let node: Node | undefined;
    for (const key of path) {
      const next: Node | undefined = this.childrenOf(node).find(each => each.key === key);
      if (!next) return;
      node = next;
    }
    if (node && this.view.visible) await this.view.reveal(node, { select: true, focus: false });
  }

  dispose(): void {
    this.waited?.();
    for (const each of [this.listening, this.view, this.changed]) each.dispose();
  }

  private childrenOf(node: Node | undefined): readonly Node[] {
    let children = this.known.get(node);
    if (!children) this.known.set(node, (children = this.placed(node?.children?.() ?? [], node)));
    return children;
  }

  private placed(rows: readonly Row[], parent: Node | undefined): readonly Node[] {
    return rows.map(row => {
      row.item.id = `${parent?.item.id ?? this.scope}/${row.key}`;
      return { ...row, parent };
    });
  }
}

export function row(key: string, label: string, description: string, details: Partial<vscode.TreeItem> = {}): Row {
  return { key, item: Object.assign(new vscode.TreeItem(label), { description, ...details }) };
}

export function group(
  key: string,
  label: string,
  description: string,
  expanded: boolean,
  children: () => readonly Row[],
  details: Partial<vscode.TreeItem> = {},
): Row {
  const { Expanded, Collapsed } = vscode.TreeItemCollapsibleState;
  return {
    ...row(key, label, description, { collapsibleState: expanded ? Expanded : Collapsed, ...details }),
    children,
  };
}

/** Rows of one project stand alone; those of several stand below its name. */
export function byProject(
  projects: readonly ProjectOverview[],
  rows: (project: ProjectOverview) => readonly Row[],
): readonly Row[] {
  if (projects.length === 1) return rows(projects[0]!);
  return projects.map(project => group(project.uri, project.name, project.revision ?? '', true, () => rows(project)));
}
