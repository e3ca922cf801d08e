/** Tasks where there is Node: `gusset check` of the bundled command line over a folder, its report in a terminal. */
import * as path from 'node:path';
import * as vscode from 'vscode';

interface CheckDefinition extends vscode.TaskDefinition {
  readonly task: 'check';
  readonly folder?: string;
}

/** Wide enough that no finding is broken into lines, which a problem matcher could not put together again. */
const width = 10_000;

export function activateTasks(context: vscode.ExtensionContext): void {
  const program = context.asAbsolutePath(path.join('out', 'cli.mjs'));
  context.subscriptions.push(
    vscode.tasks.registerTaskProvider('gusset', {
      provideTasks: () =>
        (vscode.workspace.workspaceFolders ?? [])
          .filter(folder => folder.uri.scheme === 'file')
          .map(folder => checkTask(program, folder, { type: 'gusset', task: 'check' })),
      resolveTask: ({ definition, scope }) => {
        const folder = typeof scope === 'object' ? scope : vscode.workspace.workspaceFolders?.[0];
        return folder && definition.task === 'check'
          ? checkTask(program, folder, definition as CheckDefinition)
          : undefined;
      },
    }),
  );
}

/**
 * Files are named from the workspace folder on, which is also what none of them leads out of. Only the extension's own
 * program runs. Its findings are the language server's, so they are not reported twice unless a task asks for the
 * matcher `$gusset`.
 */
function checkTask(program: string, folder: vscode.WorkspaceFolder, definition: CheckDefinition): vscode.Task {
  const run = new vscode.ProcessExecution(
    process.execPath,
    [program, 'check', definition.folder ?? '.', '--root', '.', '--width', String(width)],
    { cwd: folder.uri.fsPath, env: { ELECTRON_RUN_AS_NODE: '1' } },
  );
  const task = new vscode.Task(
    definition,
    folder,
    definition.folder ? `check ${definition.folder}` : 'check',
    'gusset',
    run,
    [],
  );
  task.group = vscode.TaskGroup.Test;
  task.detail = vscode.l10n.t('Evaluates the saved files and prints margins, statuses, mass and findings');
  return task;
}
