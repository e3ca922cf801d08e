import * as vscode from 'vscode';
import { expect, finding, open } from '../support/editor.js';
import { test } from '../support/runner.js';

test('a workspace that is not trusted gets its findings too, since nothing of it runs', async () => {
  expect(!vscode.workspace.isTrusted, 'the workspace is trusted');
  await open('thermal.gus');
  await finding('thermal.gus', 'failing-margin', 'THM-001');
});
