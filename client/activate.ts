/** What the extension does on every platform. A command, view or panel adds its own `activate…(context, link)` here. */
import type * as vscode from 'vscode';
import { activateServerCommands } from './commands/server.js';
import { activateLibraryDocuments } from './library-documents.js';
import { ServerLink, type CreateClient } from './server-link.js';
import { activateWorkspaceFiles } from './workspace-files.js';

export async function activateEverywhere(context: vscode.ExtensionContext, createClient: CreateClient): Promise<ServerLink> {
  const link = new ServerLink(createClient);
  context.subscriptions.push(link);
  activateServerCommands(context, link);
  activateLibraryDocuments(context, link);
  activateWorkspaceFiles(link);
  await link.start();
  return link;
}
