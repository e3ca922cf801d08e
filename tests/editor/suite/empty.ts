/** In a session of its own: a folder that holds nothing yet. */
import * as vscode from 'vscode';
import { expect, uriOf } from '../support/editor.js';
import { page } from '../support/page.js';
import { test } from '../support/runner.js';

const SIDEBAR = '[id="workbench.parts.sidebar"]';

test('a folder without a project says how to begin one, and lists what is begun', async () => {
  await vscode.commands.executeCommand('gusset.requirements.focus');
  await page.waitFor(`${SIDEBAR} :text("No requirement stands in this folder yet.")`);
  await page.screenshot('views-empty');
  await vscode.commands.executeCommand('gusset.createExample', uriOf(''));
  await page.waitFor(`${SIDEBAR} .monaco-list-row:has-text("Verified")`);
  expect(
    !(await page.evaluate<boolean>(
      `document.querySelector('${SIDEBAR}').textContent.includes('No requirement stands in this folder yet.')`,
    )),
    'the view says that it is empty',
  );
});
