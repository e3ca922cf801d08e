import * as vscode from 'vscode';
import { eventually, expect, finding, open, rangeOf, replace } from '../support/editor.js';
import { appears, keysTo, page } from '../support/page.js';
import { test } from '../support/runner.js';
import { plainWindow, wear } from '../support/window.js';

const STATEMENT = 'The radiator brackets shall carry the radiator in every launch case without rupture.';
/** Rows of a group say what the group does not. */
const FAILING = `2 THM-001 | -0.06 · ${STATEMENT}`;
const WAIVED = '2 PRP-002 | -0.05 · accepted by WVR-07 · The wall of the tank boss shall be at least 0.08 in thick.';

const SIDEBAR = '[id="workbench.parts.sidebar"]';

/** The rows of a view that are drawn, as `level label | description`. */
async function rows(title: string): Promise<readonly string[]> {
  return page.evaluate<string[]>(
    `[...document.querySelectorAll('${SIDEBAR} .pane')].filter(pane => pane.querySelector('.pane-header')?.textContent.startsWith(${JSON.stringify(title)})).flatMap(pane => [...pane.querySelectorAll('.monaco-list-row')].sort((x, y) => parseInt(x.style.top) - parseInt(y.style.top)).map(row => [row.getAttribute('aria-level') + ' ' + (row.querySelector('.label-name')?.textContent ?? ''), row.querySelector('.label-description')?.textContent ?? ''].filter(Boolean).join(' | ')))`,
  );
}

/** What is said of the thing below the pointer hides what is beside it. */
async function pointAway(): Promise<void> {
  await page.hover(`${SIDEBAR} .title .title-label`);
}

async function hasRows(title: string, ...wanted: readonly string[]): Promise<readonly string[]> {
  let seen: readonly string[] = [];
  await eventually(
    wanted.join(', '),
    async () => {
      seen = await rows(title);
      return wanted.every(row => seen.includes(row));
    },
    () => seen,
  );
  return seen;
}

test('the requirements are grouped by status, with the counts of the report', async () => {
  await plainWindow();
  await vscode.commands.executeCommand('testing.clearTestResults');
  await open('thermal.gus');
  await finding('thermal.gus', 'failing-margin');
  await vscode.commands.executeCommand('gusset.requirements.focus');
  await hasRows(
    'Requirements',
    '1 Failing | 1',
    '1 Undetermined | 1',
    '1 Waived | 1',
    '1 Unverified | 3',
    '1 Verified | 68',
    FAILING,
    WAIVED,
  );
});

test('the status bar holds the same counts', async () => {
  await page.waitFor('.statusbar-item:has-text("1 failing · 1 undetermined · 1 waived · 3 unverified · 68 verified")');
});

test('mass by part stands against the cap', async () => {
  await hasRows(
    'Mass by part',
    '1 Bus | 41.6 kg',
    '2 Harness | 2.645 kg · calculated',
    '2 Torquer | 0.57 kg · × 3 · measured',
  );
  await page.waitFor(`${SIDEBAR} :text("41.6 kg predicted of 46 kg, 4.404 kg left")`);
});

for (const theme of ['light', 'dark'] as const) {
  test(`the views in the ${theme} theme`, async () => {
    await wear(theme);
    await vscode.commands.executeCommand('gusset.requirements.focus');
    await page.screenshot(`views-${theme}`);
  });
}

test('a click opens the source', async () => {
  await page.click(`${SIDEBAR} .monaco-list-row:has-text("PAY-004")`);
  const editor = await eventually(
    'the source',
    () => vscode.window.activeTextEditor?.document.uri.path.endsWith('payload.gus') && vscode.window.activeTextEditor,
  );
  expect(editor.document.lineAt(editor.selection.active.line).text.includes('PAY-004'), 'the cursor is elsewhere');
});

test('the row of the requirement at the cursor is selected', async () => {
  const editor = await open('propulsion.gus');
  const at = rangeOf(editor, 'check wall').start;
  editor.selection = new vscode.Selection(at, at);
  await page.waitFor(`${SIDEBAR} .monaco-list-row.selected:has-text("PRP-002")`);
});

test('they follow what is typed', async () => {
  const editor = await open('thermal.gus');
  const waited = await appears(`${SIDEBAR} .pane .monaco-progress-container.active`, async () => {
    // While someone types the server does not settle, and no rows are asked for, which the editor shows by itself.
    for (const [from, to] of [
      ['3.7', '3.8'],
      ['3.8', '3.9'],
      ['3.9', '4.0'],
      ['4.0', '4.1'],
    ])
      await replace(editor, `t = ${from} mm ±`, `t = ${to} mm ±`);
  });
  await hasRows('Requirements', '1 Unverified | 4', `2 THM-001 | +0.16 · test on SM1 by QR open · ${STATEMENT}`);
  await replace(editor, 't = 4.1 mm ±', 't = 3.7 mm ±');
  await hasRows('Requirements', '1 Failing | 1', '1 Verified | 68');
  expect(waited, 'nothing said that the rows were older than the text');
});

test('a button groups them by part, then by milestone, and each way is remembered', async () => {
  await page.hover(`${SIDEBAR} .pane-header:has-text("Requirements")`);
  await page.click(`${SIDEBAR} [aria-label^="Group Requirements by Part"]`);
  await hasRows(
    'Requirements',
    '1 Bus | 57 · 1 failing · 2 unverified',
    '2 Radiator | 1 · 1 failing',
    '3 RadiatorBracket | 1 · 1 failing',
  );
  await page.screenshot('views-by-part');
  await page.click(`${SIDEBAR} [aria-label^="Group Requirements by Milestone"]`);
  await eventually('milestones', async () => (await rows('Requirements')).some(row => row.startsWith('1 QR | ')));
  await page.screenshot('views-by-milestone');
  await vscode.commands.executeCommand('gusset.groupByStatus');
  await hasRows('Requirements', '1 Failing | 1');
});

test('a filter leaves those that hold its words, until it is cleared', async () => {
  await vscode.commands.executeCommand('gusset.filterRequirements');
  await page.waitFor('.quick-input-widget input');
  await page.type('tank wall');
  await eventually(
    'fewer rows',
    async () => (await rows('Requirements')).filter(row => row.startsWith('2')).length < 5,
  );
  await page.press('Enter');
  await hasRows('Requirements', WAIVED);
  await page.waitFor(`${SIDEBAR} :text("1 of 74 hold “tank wall”")`);
  await pointAway();
  await page.screenshot('views-filtered');
  await vscode.commands.executeCommand('gusset.filterRequirements', 'no such words');
  await page.waitFor(`${SIDEBAR} :text("No requirement holds all words of the filter.")`);
  await vscode.commands.executeCommand('gusset.clearFilter');
  await hasRows('Requirements', '1 Verified | 68');
});

test('the chain leads from a material over lot and article to the requirement', async () => {
  await vscode.commands.executeCommand('gusset.chain.focus');
  await eventually(
    'materials',
    async () => (await rows('Evidence')).length > 3,
    () => rows('Evidence'),
  );
  const first = (await rows('Evidence'))[0]!;
  expect(first.startsWith('1 ') && first.includes('material'), first);
  for (const key of ['Home', ...Array(8).fill('ArrowRight')]) await page.press(key);
  await page.screenshot('views-chain');
});

test('a row leads to the margin sheet', async () => {
  await vscode.commands.executeCommand('gusset.requirements.focus');
  await page.hover(`${SIDEBAR} .monaco-list-row:has-text("THM-001")`);
  await page.click(`${SIDEBAR} .monaco-list-row:has-text("THM-001") [aria-label^="Show in Margin Sheet"]`);
  await page.waitFor('tr[data-id]', { webview: true });
  expect(
    vscode.window.visibleTextEditors.some(editor => editor.document.uri.path.endsWith('thermal.gus')),
    'the source is not open',
  );
});

const focusedRow = (): Promise<string> =>
  page.evaluate<string>(
    `document.querySelector('${SIDEBAR} .monaco-list:focus-within .monaco-list-row.focused')?.textContent ?? ''`,
  );

/** Focuses a view and moves down from its top to the row that holds `words`. */
async function keysToRow(view: string, words: string): Promise<void> {
  await vscode.commands.executeCommand(`${view}.focus`);
  await page.press('Home');
  // Rows below one that was unfolded come in their own time.
  await eventually(
    `the row of ${words}`,
    async () => {
      if ((await focusedRow()).includes(words)) return true;
      await page.press('ArrowDown');
      return false;
    },
    focusedRow,
  );
}

/** Unfolds a row, or folds it, with a key that is pressed again where a view that was just filled missed it. */
async function turn(view: string, words: string, key: 'ArrowRight' | 'ArrowLeft'): Promise<void> {
  const isTurned = (): Promise<boolean> =>
    page.evaluate(
      `document.querySelector('${SIDEBAR} .monaco-list:focus-within .monaco-list-row.focused')?.getAttribute('aria-expanded') === '${key === 'ArrowRight'}'`,
    );
  await eventually(`${words || 'the first row'} after ${key}`, async () => {
    await keysToRow(view, words);
    if (await isTurned()) return true;
    await page.press(key);
    return isTurned();
  });
}

/** What Enter on the focused row opens. */
async function entered(file: string, words: string): Promise<void> {
  await page.press('Enter');
  await eventually(
    `${words} in ${file}`,
    () => {
      const editor = vscode.window.activeTextEditor;
      return (
        editor?.document.uri.path.endsWith(file) &&
        editor.document.lineAt(editor.selection.active.line).text.includes(words)
      );
    },
    () => vscode.window.activeTextEditor?.document.uri.path,
  );
}

test('keys unfold, fold and open rows of all three views', async () => {
  await turn('gusset.requirements', '', 'ArrowLeft');
  await eventually(
    'folded',
    async () => !(await rows('Requirements')).some(row => row.startsWith('2 THM-001')),
    () => rows('Requirements'),
  );
  await turn('gusset.requirements', '', 'ArrowRight');
  await hasRows('Requirements', FAILING);
  await keysToRow('gusset.requirements', 'PAY-004');
  await entered('payload.gus', 'PAY-004');
  await turn('gusset.massByPart', 'ObcBox', 'ArrowRight');
  await eventually(
    'the parts of the box',
    async () => (await rows('Mass by part')).some(row => row.startsWith('3 ')),
    () => rows('Mass by part'),
  );
  await entered('avionics.gus', 'ObcBox');
  await turn('gusset.chain', '', 'ArrowRight');
  await eventually(
    'lots of the material',
    async () => (await rows('Evidence')).some(row => row.startsWith('2 ')),
    () => rows('Evidence'),
  );
  await entered('materials.gus', 'material');
});

test('keys reach the buttons of a view, its filter, and the sheet from a row', async () => {
  // A row that has been focused is passed to the commands of the buttons.
  await keysToRow('gusset.requirements', 'PAY-004');
  await keysTo('Group Requirements by Part', 'Shift+Tab');
  const passed = await keysTo('Show Margin Sheet', 'ArrowRight');
  expect(
    passed.some(each => each.includes('Filter Requirements')),
    passed.join(', '),
  );
  await keysTo('Filter Requirements', 'ArrowLeft');
  await page.press('Enter');
  await page.waitFor('.quick-input-widget input:focus');
  await page.type('tank wall');
  await page.waitFor(`${SIDEBAR} :text("1 of 74 hold “tank wall”")`);
  await page.press('Enter');
  await page.waitFor('.quick-input-widget', { state: 'hidden' });
  // The list has the focus, and not the text that stands beside it.
  await page.press('Home', 'ArrowDown');
  await eventually('the row that is left', async () => (await focusedRow()).includes('PRP-002'), focusedRow);
  await keysTo('Group Requirements by Part', 'Shift+Tab');
  // A toolbar of the workbench that was left from its second button moves there from the first only the other way.
  await keysTo('Clear Filter', 'ArrowLeft');
  await page.press('Enter');
  await hasRows('Requirements', '1 Verified | 68');
  await keysTo('Filter Requirements', 'ArrowRight');
  await keysToRow('gusset.requirements', 'PRP-002');
  await page.press('Shift+F10');
  await page.waitFor('.monaco-menu [aria-label^="Show in Margin Sheet"]');
  await page.press('ArrowDown', 'Enter');
  await eventually(
    'its row in the sheet',
    async () =>
      (await page.text('tr.current td[data-column=requirement]', { webview: true }).catch(() => '')) === 'PRP-002',
  );
});
