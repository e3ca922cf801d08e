import * as vscode from 'vscode';
import { eventually, open } from '../support/editor.js';
import { page } from '../support/page.js';
import { test } from '../support/runner.js';

const RANGE = 'T [°C]\tFu\n20\t490\n85\t446,5\n';

/** A paste into what has the focus: a browser without a screen has no clipboard of the system. */
function pasted(text: string): string {
  return `(data => { data.setData('text/plain', ${JSON.stringify(text)}); return document.activeElement.dispatchEvent(new ClipboardEvent('paste', { clipboardData: data, bubbles: true, cancelable: true })); })(new DataTransfer())`;
}

test('a range of a spreadsheet is pasted as a table, its unit asked for once, and copied back', async () => {
  const editor = await open('thermal.gus');
  const end = editor.document.lineAt(editor.document.lineCount - 1).range.end;
  await editor.edit(edit => edit.insert(end, '\nlet strength = '));
  const behind = editor.document.lineAt(editor.document.lineCount - 1).range.end;
  editor.selection = new vscode.Selection(behind, behind);
  await vscode.commands.executeCommand('workbench.action.focusActiveEditorGroup');
  await page.evaluate(pasted(RANGE));
  const written = (): string => editor.document.lineAt(behind.line).text;
  await eventually(
    'a table',
    () => written().includes('[20 degC -> 490 unit, 85 degC -> 446.5 unit]') || undefined,
    written,
  );
  await page.type('MPa');
  await eventually(
    'both units',
    () => written() === 'let strength = [20 degC -> 490 MPa, 85 degC -> 446.5 MPa]',
    written,
  );
  await page.screenshot('pasted-table');
  editor.selection = new vscode.Selection(behind.translate(0, 3), behind.translate(0, 3));
  await eventually('the table on the clipboard', async () => {
    await vscode.commands.executeCommand('gusset.copyTable');
    return (await vscode.env.clipboard.readText()).replaceAll(',', '.') === 'x [degC]\ty [MPa]\n20\t490\n85\t446.5\n';
  });
});
