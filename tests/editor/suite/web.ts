import * as vscode from 'vscode';
import { eventually, expect, finding, findings, noFinding, open, replace, uriOf, withCode } from '../support/editor.js';
import { page } from '../support/page.js';
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

test('the reference opens', async () => {
  await vscode.commands.executeCommand('gusset.openReference', 'reference/units.html');
  await eventually('its page', async () => (await page.text('h1', { webview: true })) === 'Units');
});
