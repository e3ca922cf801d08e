import * as vscode from 'vscode';
import { eventually, finding, open, replace } from '../support/editor.js';
import { page } from '../support/page.js';
import { test } from '../support/runner.js';

const SIDEBAR = '[id="workbench.parts.sidebar"]';
const PANEL = '[id="workbench.parts.panel"]';

async function is(name: string, state: string): Promise<void> {
  let label: string | null = null;
  await eventually(
    `${name} ${state}`,
    async () => {
      label = await page.evaluate<string | null>(
        `[...document.querySelectorAll('${SIDEBAR} .test-explorer .monaco-list-row')].find(row => row.textContent.includes(${JSON.stringify(name)}))?.getAttribute('aria-label') ?? null`,
      );
      return label?.includes(state);
    },
    () => label,
  );
}

test('the Testing view holds the requirements below their parts', async () => {
  // The tree of requirements follows no cursor while it is not seen.
  await vscode.commands.executeCommand('workbench.action.closeSidebar');
  await open('thermal.gus');
  await finding('thermal.gus', 'failing-margin');
  await vscode.commands.executeCommand('workbench.view.testing.focus');
  await page.click(`${SIDEBAR} .monaco-list-row:has-text("Cordgrass")`);
  for (let level = 0; level < 4; level++) await page.press('ArrowRight');
  await page.waitFor(`${SIDEBAR} .monaco-list-row:has-text("ObcBox")`);
});

test('an evaluation gives each requirement its status', async () => {
  await vscode.commands.executeCommand('testing.runAll');
  await page.waitFor(`${PANEL} .monaco-list-row:has-text("THM-001")`);
  await page.screenshot('testing');
  await vscode.commands.executeCommand('testing.viewAsList');
  await vscode.commands.executeCommand('testing.sortByStatus');
  await is('THM-001', 'Failed');
  await is('PAY-004', 'Errored');
});

test('a failing one shows what is allowed and what is applied', async () => {
  await page.click(`${PANEL} .monaco-list-row:has-text("THM-001: failing")`);
  await page.waitFor(`${PANEL} .monaco-diff-editor`);
  await eventually('both values', async () =>
    ['21.74', '23.09'].every(async value => (await page.text(`${PANEL} .monaco-diff-editor`)).includes(value)),
  );
  await page.screenshot('testing-message');
});

test('results follow what is typed while it runs continuously', async () => {
  const editor = await open('thermal.gus');
  await page.click(
    `${SIDEBAR} .testing-filter-action-item .view-lines, ${SIDEBAR} .test-explorer-header .view-lines, ${SIDEBAR} .suggest-input-container`,
  );
  await page.type('THM-001');
  await vscode.commands.executeCommand('testing.startContinuousRun');
  await replace(editor, 't = 3.7 mm ±', 't = 4.1 mm ±');
  try {
    await is('THM-001', 'Skipped');
  } finally {
    await replace(editor, 't = 4.1 mm ±', 't = 3.7 mm ±');
  }
  await is('THM-001', 'Failed');
  await vscode.commands.executeCommand('testing.stopContinuousRun');
  await vscode.commands.executeCommand('workbench.action.closePanel');
});
