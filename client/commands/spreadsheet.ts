/** A range copied out of a spreadsheet is pasted as a table, and a table is copied as a range. */
import * as vscode from 'vscode';
import { copiedTableMessage, pastedTableMessage } from '../../server/protocol/spreadsheet.js';
import type { ServerLink } from '../link/server-link.js';

const KIND = vscode.DocumentDropOrPasteEditKind.Empty.append('gusset', 'table');
/** Longer ones belong into a data file. */
const MOST_CHARACTERS = 50_000;

export function activateSpreadsheet(context: vscode.ExtensionContext, link: ServerLink): void {
  context.subscriptions.push(
    vscode.languages.registerDocumentPasteEditProvider(
      { language: 'gusset' },
      { provideDocumentPasteEdits: (document, _, data, __, token) => pasteEdits(link, document, data, token) },
      { providedPasteEditKinds: [KIND], pasteMimeTypes: ['text/plain'] },
    ),
    vscode.commands.registerCommand('gusset.copyTable', () => copyTable(link)),
  );
}

async function pasteEdits(
  link: ServerLink,
  { uri }: vscode.TextDocument,
  data: vscode.DataTransfer,
  token: vscode.CancellationToken,
): Promise<vscode.DocumentPasteEdit[]> {
  const text = (await data.get('text/plain')?.asString()) ?? '';
  if (link.state !== 'running' || !text.includes('\t') || text.length > MOST_CHARACTERS) return [];
  const table = await link.request(pastedTableMessage, { textDocument: { uri: uri.toString() }, text }, token);
  if (table === null) return [];
  return [new vscode.DocumentPasteEdit(new vscode.SnippetString(table), vscode.l10n.t('Paste as a Table'), KIND)];
}

async function copyTable(link: ServerLink): Promise<void> {
  const editor = vscode.window.activeTextEditor;
  if (!editor) return;
  const table = await link.request(copiedTableMessage, {
    textDocument: { uri: editor.document.uri.toString() },
    position: editor.selection.active,
    decimal: decimalSign(),
  });
  if (table === null)
    return void vscode.window.showInformationMessage(
      vscode.l10n.t('No table stands at the caret. Put it between the brackets of one.'),
    );
  await vscode.env.clipboard.writeText(table);
  vscode.window.setStatusBarMessage(vscode.l10n.t('Table copied'), 3000);
}

/** As this machine writes numbers, which its spreadsheet does as well. */
function decimalSign(): string {
  const part = new Intl.NumberFormat().formatToParts(1.5).find(({ type }) => type === 'decimal');
  return part?.value ?? '.';
}
