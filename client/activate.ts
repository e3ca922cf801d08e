/** What the extension does on every platform. A command, view or panel adds its own `activate…` here. */
import type * as vscode from 'vscode';
import { activateAsOf } from './link/as-of.js';
import { activateExample } from './commands/example.js';
import { activateServerCommands } from './commands/server.js';
import { activateSpreadsheet } from './commands/spreadsheet.js';
import { activateLibraryDocuments } from './link/library-documents.js';
import { activateMarks } from './editor/marks.js';
import { activateReference } from './panels/reference/panel.js';
import { activateMarginSheet } from './panels/sheet/panel.js';
import { ProjectState } from './link/project-state.js';
import { ServerLink, type CreateClient } from './link/server-link.js';
import { activateSettings, serverOptions } from './link/settings.js';
import { activateStatus } from './editor/status.js';
import { activateTesting } from './editor/testing.js';
import { activateChain } from './views/chain.js';
import { activateMassByPart } from './views/mass.js';
import { activateRequirements } from './views/requirements.js';
import { activateWorkspaceFiles } from './link/workspace-files.js';

export async function activateEverywhere(
  context: vscode.ExtensionContext,
  createClient: CreateClient,
): Promise<ServerLink> {
  const link = new ServerLink(createClient, serverOptions);
  const state = new ProjectState(link);
  context.subscriptions.push(link, state);
  activateServerCommands(context, link);
  activateLibraryDocuments(context, link);
  activateWorkspaceFiles(link);
  activateSettings(context, link);
  activateMarginSheet(context, link, state);
  activateStatus(context, link, state);
  activateAsOf(context, link, state);
  activateRequirements(context, state);
  activateMassByPart(context, state);
  activateChain(context, state);
  activateTesting(context, state);
  activateMarks(context, link, state);
  activateSpreadsheet(context, link);
  activateExample(context);
  activateReference(context);
  await link.start();
  return link;
}
