import * as vscode from 'vscode';
import {
  eventually,
  expect,
  finding,
  findings,
  noFinding,
  open,
  rangeOf,
  replace,
  uriOf,
  withCode,
} from '../support/editor.js';
import { page } from '../support/page.js';
import { test } from '../support/runner.js';

const FAILING = 't = 3.7 mm ±';
const PASSING = 't = 4.1 mm ±';

test('the example shows its failing margin in every file that has one, open or not', async () => {
  const margin = await finding('thermal.gus', 'failing-margin', 'THM-001');
  expect(margin.severity === vscode.DiagnosticSeverity.Error, 'a failing margin is no error');
  expect(margin.message.includes('23.09 MPa') && margin.message.includes('21.74 MPa'), margin.message);
  await finding('structure.gus', 'thin-margin');
});

test('the squiggle stands under the check', async () => {
  const editor = await open('thermal.gus');
  const margin = await finding('thermal.gus', 'failing-margin');
  expect(
    editor.document.getText(margin.range).startsWith('FlightPrinted.ultimate'),
    editor.document.getText(margin.range),
  );
  editor.revealRange(margin.range);
  await page.waitFor('.squiggly-error');
});

test('a thicker plate passes while it is typed, and the old one fails again', async () => {
  const editor = await open('thermal.gus');
  await replace(editor, FAILING, PASSING);
  await noFinding('thermal.gus', 'failing-margin');
  await page.waitFor('.squiggly-error', { state: 'hidden' });
  await replace(editor, PASSING, FAILING);
  await finding('thermal.gus', 'failing-margin', 'THM-001');
});

test('margins stand behind their checks', async () => {
  const editor = await open('thermal.gus');
  const hints = await eventually('inlay hints', async () => {
    const found = await vscode.commands.executeCommand<vscode.InlayHint[]>(
      'vscode.executeInlayHintProvider',
      editor.document.uri,
      new vscode.Range(0, 0, 99, 0),
    );
    return found.length > 0 && found;
  });
  expect(
    hints.some(hint => String(hint.label).includes('-0.06')),
    JSON.stringify(hints.map(hint => hint.label)),
  );
});

test('a quick fix mends a misspelt name', async () => {
  const editor = await open('thermal.gus');
  await replace(editor, 'b = width', 'b = widht');
  const unknown = await finding('thermal.gus', 'unknown-name', 'width');
  const actions = await vscode.commands.executeCommand<vscode.CodeAction[]>(
    'vscode.executeCodeActionProvider',
    editor.document.uri,
    unknown.range,
    vscode.CodeActionKind.QuickFix.value,
  );
  const fix = actions.find(action => action.title.includes('width'));
  expect(fix?.edit, `no fix among ${actions.map(action => action.title).join(', ')}`);
  await vscode.workspace.applyEdit(fix.edit);
  expect(editor.document.getText().includes('b = width'), 'the fix changed something else');
  await noFinding('thermal.gus', 'unknown-name');
});

test('the rename of a label reaches every file that names it', async () => {
  const editor = await open('structure.gus');
  const edit = await vscode.commands.executeCommand<vscode.WorkspaceEdit>(
    'vscode.executeDocumentRenameProvider',
    editor.document.uri,
    rangeOf(editor, 'STR-013').start.translate(0, 2),
    'STR-913',
  );
  const files = edit.entries().map(([uri]) => uri.path.split('/').pop());
  expect(files.includes('structure.gus') && files.includes('verification.gus'), `renames in ${files.join(', ')}`);
  await vscode.workspace.applyEdit(edit);
  await finding('structure.gus', 'thin-margin', 'STR-913');
  for (const [uri] of edit.entries())
    expect(
      !(await vscode.workspace.openTextDocument(uri)).getText().includes('STR-013'),
      `${uri.path} still names STR-013`,
    );
  expect(!findings('verification.gus').some(withCode('unresolved-reference')), 'a reference broke');
});

test('a file that changes on disk is judged again', async () => {
  const uri = uriOf('materials.gus');
  const bytes = await vscode.workspace.fs.readFile(uri);
  const text = new TextDecoder().decode(bytes);
  await vscode.workspace.fs.writeFile(uri, new TextEncoder().encode(`${text}\nlet mistake = 2 mm + 3 kg\n`));
  await finding('materials.gus', 'cannot-add');
  await vscode.workspace.fs.writeFile(uri, bytes);
  await noFinding('materials.gus', 'cannot-add');
});
