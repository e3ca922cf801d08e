/** Commands about the language server itself. */
import * as vscode from 'vscode';
import type { ServerLink } from '../link/server-link.js';

export function activateServerCommands(context: vscode.ExtensionContext, link: ServerLink): void {
  context.subscriptions.push(
    vscode.commands.registerCommand('gusset.restartServer', () => link.restart()),
    vscode.commands.registerCommand('gusset.showLog', () => link.showLog()),
  );
}
