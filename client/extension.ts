/**
 * The extension where the editor runs on Node: the server is a process of its own. Says in one sentence when it can't.
 */
import * as path from 'node:path';
import * as vscode from 'vscode';
import { LanguageClient, TransportKind, type ServerOptions } from 'vscode-languageclient/node';
import { activateEverywhere } from './activate.js';
import { nodeProblem } from './link/node-version.js';
import type { ServerLink } from './link/server-link.js';
import { activateTasks } from './editor/tasks.js';

let link: ServerLink | undefined;

export async function activate(context: vscode.ExtensionContext): Promise<void> {
  const problem = nodeProblem(process.versions.node);
  if (problem) {
    void vscode.window.showErrorMessage(problem);
    return;
  }
  const module = context.asAbsolutePath(path.join('out', 'gusset.mjs'));
  const server: ServerOptions = {
    run: { module, args: ['serve'], transport: TransportKind.ipc },
    debug: {
      module,
      args: ['serve'],
      transport: TransportKind.ipc,
      options: { execArgv: ['--nolazy', '--inspect=6009'] },
    },
  };
  activateTasks(context);
  link = await activateEverywhere(context, options => new LanguageClient('gusset', 'Gusset', server, options));
}

export async function deactivate(): Promise<void> {
  await link?.stop();
}
