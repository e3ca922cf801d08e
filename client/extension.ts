/** The extension: starts the language server for `.gus` files and says in one sentence when it can't. */
import * as path from 'node:path';
import * as vscode from 'vscode';
import { LanguageClient, TransportKind, type LanguageClientOptions, type ServerOptions } from 'vscode-languageclient/node';
import { nodeProblem } from './node-version.js';

let client: LanguageClient | undefined;

export async function activate(context: vscode.ExtensionContext): Promise<void> {
  const problem = nodeProblem(process.versions.node);
  if (problem) {
    void vscode.window.showErrorMessage(problem);
    return;
  }
  const module = context.asAbsolutePath(path.join('out', 'gusset.mjs'));
  const server: ServerOptions = { run: { module, args: ['serve'], transport: TransportKind.ipc }, debug: { module, args: ['serve'], transport: TransportKind.ipc, options: { execArgv: ['--nolazy', '--inspect=6009'] } } };
  const options: LanguageClientOptions = {
    documentSelector: [{ language: 'gusset' }],
    synchronize: { fileEvents: vscode.workspace.createFileSystemWatcher('**/*.{gus,csv}') },
  };
  client = new LanguageClient('gusset', 'Gusset', server, options);
  await client.start();
}

export async function deactivate(): Promise<void> {
  await client?.stop();
}
