/** Opens the formula library's files, which live in the server, as read-only documents under `gusset:` addresses. */
import * as vscode from 'vscode';
import { libraryTextMessage } from '../../server/protocol/messages.js';
import type { ServerLink } from './server-link.js';

export function activateLibraryDocuments(context: vscode.ExtensionContext, link: ServerLink): void {
  context.subscriptions.push(
    vscode.workspace.registerTextDocumentContentProvider('gusset', {
      async provideTextDocumentContent(uri, token) {
        const text = await link.request(libraryTextMessage, { uri: uri.toString() }, token);
        if (text === null) throw vscode.FileSystemError.FileNotFound(uri);
        return text;
      },
    }),
  );
}
