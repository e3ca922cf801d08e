import * as vscode from 'vscode';
import { eventually, expect, finding, open } from '../support/editor.js';
import { page } from '../support/page.js';
import { test } from '../support/runner.js';

test('a workspace that is not trusted gets its findings too, since nothing of it runs', async () => {
  expect(!vscode.workspace.isTrusted, 'the workspace is trusted');
  await open('thermal.gus');
  await finding('thermal.gus', 'failing-margin', 'THM-001');
});

test('the reference opens', async () => {
  await vscode.commands.executeCommand('gusset.openReference', 'reference/units.html');
  await eventually('its page', async () => (await page.text('h1', { webview: true })) === 'Units');
});
