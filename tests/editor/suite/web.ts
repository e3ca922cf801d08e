import * as vscode from 'vscode';
import { eventually, expect, finding, findings, noFinding, open, replace, uriOf, withCode } from '../support/editor.js';
import { test } from '../support/runner.js';

test('the extension runs in a browser, over files that only the editor can reach', async () => {
  expect(vscode.env.uiKind === vscode.UIKind.Web && uriOf('').scheme !== 'file', uriOf('').toString());
  await finding('thermal.gus', 'failing-margin', 'THM-001');
});

test('data files are read: nothing is missing', async () => {
  await eventually('the findings of all files', () => findings('structure.gus').some(withCode('thin-margin')));
  for (const [uri, found] of vscode.languages.getDiagnostics())
    expect(
      !found.some(withCode('data-file')) && !found.some(withCode('missing-file')),
      `${uri.path}: ${found.map(each => each.message).join('\n')}`,
    );
});

test('a margin that rests on a data file follows an edit', async () => {
  const editor = await open('structure.gus');
  await replace(editor, 'FlightMetal.yield * FE7.vm', '3 * FlightMetal.yield * FE7.vm');
  const margin = await finding('structure.gus', 'failing-margin', 'STR-016');
  // 163.5 MPa stand in the file; times 3 and the yield factor 1.25.
  expect(margin.message.includes('613.1'), margin.message);
  await replace(editor, '3 * FlightMetal.yield * FE7.vm', 'FlightMetal.yield * FE7.vm');
  await noFinding('structure.gus', 'failing-margin');
});

test('the command starts another worker', async () => {
  await vscode.commands.executeCommand('gusset.restartServer');
  const editor = await open('thermal.gus');
  await replace(editor, 't = 3.7 mm', 't = 4.1 mm');
  await noFinding('thermal.gus', 'failing-margin');
});

// What a webview shows comes from another host in a browser, which is not reached here.
test('the pages of the reference are there to be opened', async () => {
  await vscode.commands.executeCommand('gusset.openReference', 'reference/units.html');
  expect(vscode.window.tabGroups.activeTabGroup.activeTab?.label === 'Gusset Reference', 'no panel was opened');
  const { extensionUri } = vscode.extensions.getExtension('gusset.gusset')!;
  const page = await vscode.workspace.fs.readFile(vscode.Uri.joinPath(extensionUri, 'out/docs/reference/units.html'));
  expect(new TextDecoder().decode(page).includes('<h1>Units</h1>'), 'its page is another');
});
