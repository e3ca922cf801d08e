/** In a session of its own: when the window is loaded anew, its tests begin anew too. */
import * as vscode from 'vscode';
import { eventually, expect, finding, open, rangeOf } from '../support/editor.js';
import { ask } from '../support/host.js';
import { fill, page } from '../support/page.js';
import { test } from '../support/runner.js';

const IN = { webview: true };

/** Filter, sort, project and place of the sheet, as its page shows them. */
function looks(): Promise<string> {
  return page.evaluate<string>(
    `JSON.stringify([document.querySelector('input[type=search]').value, document.querySelector('#follow').checked, [...document.querySelectorAll('th[aria-sort]')].map(header => header.ariaSort).join(), Math.round(document.querySelector('.scroller').scrollTop), document.querySelector('.count').textContent])`,
    '.scroller',
  );
}

/** Whether the window has written down where the sheet was scrolled to; a window on the desktop does when it ends. */
const isKept = (words: string): string => `indexedDB.databases().then(async databases => {
  const states = databases.filter(({ name }) => name.startsWith('vscode-web-state-db'));
  const values = await Promise.all(states.map(({ name }) => new Promise((resolve, reject) => {
    const opening = indexedDB.open(name);
    opening.onerror = () => reject(opening.error);
    opening.onsuccess = () => {
      const reading = opening.result.transaction('ItemTable').objectStore('ItemTable').getAll();
      reading.onsuccess = () => resolve(reading.result);
      opening.result.close();
    };
  })));
  return states.length === 0 || values.flat().some(value => /${words}/.test(value));
})`;
const IS_KEPT = isKept('scroll\\W+780');
const IS_TRIAL_KEPT = isKept('4\\.4 mm');

/** A window writes its state down only while it has the focus, which a browser without a window of its own may lose. */
async function isWritten(state: string): Promise<boolean> {
  if (await page.evaluate<boolean>(state)) return true;
  await page.focus();
  if (!(await page.evaluate<boolean>('document.hasFocus()'))) await page.click('h1', IN);
  return false;
}

function sheets(): number {
  return vscode.window.tabGroups.all.flatMap(({ tabs }) => tabs).filter(({ label }) => label === 'Margin Sheet').length;
}

test('the sheet comes back as it was when the window is loaded anew', async () => {
  const before = await ask<string | null>('recall', { name: 'looks' });
  if (before === null) {
    await open('thermal.gus');
    await finding('thermal.gus', 'failing-margin');
    await vscode.commands.executeCommand('gusset.showMarginSheet');
    await page.waitFor('tr[data-id]', IN);
    await page.click('th[data-column=requirement] button', IN);
    await page.click('th[data-column=requirement] button', IN);
    await fill('input[type=search]', 'verified');
    await page.evaluate(`document.querySelector('.scroller').scrollTop = 780; null`, '.scroller');
    await eventually(
      'a sheet that is not as it was at first',
      async () => {
        const seen = await looks();
        return seen.includes('"verified"') && seen.includes('descending') && seen.includes(',780,');
      },
      looks,
    );
    await eventually('the sheet kept by the window', () => isWritten(IS_KEPT));
    const editor = await open('thermal.gus');
    const at = rangeOf(editor, 't = 3.7 mm').start;
    editor.selection = new vscode.Selection(at, at);
    await vscode.commands.executeCommand('gusset.tryValue');
    await page.waitFor('.field input', IN);
    await fill('.field input', '4.4 mm');
    await eventually('the trial', async () => (await page.text('.trial', IN)).includes('would pass'));
    await eventually('the trial kept by the window', () => isWritten(IS_TRIAL_KEPT));
    await ask('remember', { name: 'looks', value: await looks() });
    // Nothing is heard of what ends with the window.
    void vscode.commands.executeCommand('workbench.action.reloadWindow').then(undefined, () => undefined);
    return new Promise(() => undefined);
  }
  await page.waitFor('tr[data-id]', IN);
  let seen = '';
  await eventually(
    `the sheet as before: ${before}`,
    async () => {
      seen = await looks();
      return seen === before;
    },
    () => seen,
  );
  await eventually(
    'the trial as before',
    async () =>
      (await page.text('.trial', IN)).includes('as 4.4 mm ± 0.15 mm') &&
      (await page.text('.trial', IN)).includes('would pass'),
    () => page.text('.trial', IN),
  );
  await page.click('text=Drop', IN);
  expect(sheets() === 1, `${sheets()} sheets`);
  await vscode.commands.executeCommand('gusset.showMarginSheet');
  expect(sheets() === 1, 'a second sheet was opened beside the one that came back');
});
