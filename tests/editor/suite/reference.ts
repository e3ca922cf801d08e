import * as vscode from 'vscode';
import { keepsNobodyOut } from '../support/access.js';
import { eventually } from '../support/editor.js';
import { page } from '../support/page.js';
import { test } from '../support/runner.js';
import { plainWindow, wear, type Theme } from '../support/window.js';

const SITE = '.brand';
const run = <T>(script: string): Promise<T> => page.evaluate<T>(script, SITE);

/** Until the page of that title is there; a page that is about to go may answer for a moment. */
async function shows(title: string): Promise<void> {
  let seen = '';
  await eventually(
    title,
    async () => {
      seen = await run<string>('document.querySelector("h1")?.textContent ?? ""').catch(String);
      return seen === title;
    },
    () => seen,
  );
}

test('its pages lead to each other, and back', async () => {
  await plainWindow();
  await vscode.commands.executeCommand('workbench.action.closeSidebar');
  await vscode.commands.executeCommand('gusset.openReference');
  await shows('Gusset');
  await page.click('.pages a:text-is("Units")', { webview: true });
  await shows('Units');
  await run(
    'dispatchEvent(new KeyboardEvent("keydown", { key: "ArrowLeft", altKey: true, bubbles: true, cancelable: true })); null',
  );
  await shows('Gusset');
});

test('the search leads to the place in a page', async () => {
  await run(
    'search.focus(); search.value = "bending_stress"; search.dispatchEvent(new Event("input", { bubbles: true })); null',
  );
  await page.click('#found a', { webview: true });
  await shows('Beams');
  await eventually('the formula in sight', () =>
    run<boolean>(
      '(({ top }) => top >= 0 && top < innerHeight)(document.getElementById("bending_stress").getBoundingClientRect())',
    ),
  );
});

test('nobody is kept out', async () => {
  await vscode.commands.executeCommand('gusset.openReference', 'formulas/sections.html');
  await shows('Sections');
  await keepsNobodyOut(SITE);
  await vscode.commands.executeCommand('gusset.openReference', 'reference/blocks.html#load');
  await shows('Blocks and their fields');
  await keepsNobodyOut(SITE);
});

test('nothing is shown that is no page of it', async () => {
  await vscode.commands.executeCommand('gusset.openReference', '../../package.json');
  await vscode.commands.executeCommand('gusset.openReference', 'units.html');
  await shows('Blocks and their fields');
  await vscode.commands.executeCommand('notifications.clearAll');
});

for (const theme of ['dark', 'light'] satisfies Theme[]) {
  test(`in the theme ${theme}`, async () => {
    await wear(theme);
    await vscode.commands.executeCommand('gusset.openReference', 'formulas/sections.html');
    await shows('Sections');
    await eventually('its colours', async () => {
      const paper = await run<string>('getComputedStyle(document.body).backgroundColor');
      return paper === (theme === 'light' ? 'rgb(252, 252, 250)' : 'rgb(23, 29, 36)');
    });
    await page.screenshot(`reference-${theme}`);
  });
}

test('it goes as it came', async () => {
  await vscode.commands.executeCommand('workbench.action.closeActiveEditor');
  await eventually('no panel', () => !vscode.window.tabGroups.all.some(({ tabs }) => tabs.length > 0));
});
