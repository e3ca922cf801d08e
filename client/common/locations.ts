/** Goes to where something is declared. */
import * as vscode from 'vscode';
import type { Location } from '../../server/protocol/overview.js';

export async function reveal({ uri, line, character }: Location, beside = false): Promise<void> {
  const position = new vscode.Position(line, character);
  const document = await vscode.workspace.openTextDocument(vscode.Uri.parse(uri));
  const shown = vscode.window.visibleTextEditors.find(editor => editor.document === document);
  const viewColumn = shown?.viewColumn ?? (beside ? vscode.ViewColumn.One : vscode.ViewColumn.Active);
  await vscode.window.showTextDocument(document, { selection: new vscode.Range(position, position), viewColumn });
}
