import * as vscode from 'vscode';
import { keepsNobodyOut } from '../support/access.js';
import { eventually, expect, finding, rangeOf, replace, uriOf } from '../support/editor.js';
import { appears, fill, keysTo, page } from '../support/page.js';
import { test } from '../support/runner.js';
import { plainWindow, THEMES, wear } from '../support/window.js';

const IN = { webview: true };
const text = (selector: string): Promise<string> => page.text(selector, IN);

async function cursorAt(path: string, words: string): Promise<vscode.TextEditor> {
  // Beside the sheet, not over it.
  const editor = await vscode.window.showTextDocument(
    await vscode.workspace.openTextDocument(uriOf(path)),
    vscode.ViewColumn.One,
  );
  const at = rangeOf(editor, words).start.translate(0, 2);
  editor.selection = new vscode.Selection(at, at);
  editor.revealRange(editor.selection, vscode.TextEditorRevealType.InCenter);
  return editor;
}

/** Nothing of other suites in the picture. */
async function quiet(): Promise<void> {
  await plainWindow();
  await vscode.commands.executeCommand('workbench.action.closeSidebar');
}

/** The field of the value at the cursor, focused as a user finds it. */
async function startTrial(): Promise<void> {
  await vscode.commands.executeCommand('gusset.tryValue');
  await page.waitFor('.field input', IN);
  let seen = '';
  await eventually(
    'the field focused',
    async () => {
      seen = await page.evaluate<string>('`${document.hasFocus()} ${document.activeElement.tagName}`', '.field input');
      return seen === 'true INPUT';
    },
    () => seen,
  );
}

/** What the trial says once it holds `words`. */
async function tried(words: string): Promise<string> {
  let said = '';
  await eventually(
    `a trial that says ${words}`,
    async () => {
      said = await page.evaluate<string>(
        'document.querySelector(".trial").textContent + " | " + document.querySelector(".field input")?.value',
        'h1',
      );
      return said.includes(words);
    },
    () => said,
  );
  return said;
}

test('the sheet shows every margin beside the text, the lowest first', async () => {
  await cursorAt('thermal.gus', 'check ultimate');
  await finding('thermal.gus', 'failing-margin');
  await quiet();
  await vscode.commands.executeCommand('gusset.showMarginSheet');
  await page.waitFor('tr[data-id]', IN);
  expect((await text('h1')).includes('Cordgrass'), await text('h1'));
  const count = await eventually('a count of checks', async () => /^(\d+) checks/.exec(await text('.count'))?.[1]);
  expect(Number(count) > 70, count);
});

test('it follows the cursor and draws the sweep of the check there', async () => {
  await eventually(
    'THM-001 marked',
    async () => (await text('tr.current td[data-column=requirement]').catch(() => '')) === 'THM-001',
  );
  await page.waitFor('.picture svg path', IN);
  await page.screenshot('margin-sheet');
});

test('numbers older than the text are faded until others come', async () => {
  const editor = await cursorAt('thermal.gus', 'check ultimate');
  const margin = (): Promise<string> => text('tr.current .number');
  const waited = await appears(
    '.waiting[aria-busy=true]',
    async () => {
      await replace(editor, 't = 3.7 mm', 't = 4.1 mm');
      await eventually('the new margin', async () => (await margin()) === '+0.16', margin);
    },
    'h1',
  );
  expect(waited, 'nothing said that the margins were older than the text');
  await rest();
  await replace(editor, 't = 4.1 mm', 't = 3.7 mm');
  await eventually('the margin as before', async () => (await margin()) === '-0.06', margin);
});

test('a filter leaves the rows that hold its words', async () => {
  await fill('input[type=search]', 'THM-001');
  await eventually('one row', async () => (await text('.count')).startsWith('1 of '));
  await fill('input[type=search]', '');
  await eventually(
    'all rows',
    async () => / checks$/.test(await text('.count')) && !(await text('.count')).includes(' of '),
  );
});

test('a row opens its source', async () => {
  await fill('input[type=search]', 'STR-013');
  await eventually('fewer rows', async () => (await text('.count')).includes(' of '));
  await page.click('tr[data-id] td[data-column=requirement]', IN);
  const editor = await eventually(
    'the source',
    () => vscode.window.activeTextEditor?.document.uri.path.endsWith('structure.gus') && vscode.window.activeTextEditor,
  );
  expect(
    editor.document.lineAt(editor.selection.active.line).text.includes('check'),
    editor.document.lineAt(editor.selection.active.line).text,
  );
  await fill('input[type=search]', '');
  await eventually('all rows', async () => !(await text('.count')).includes(' of '));
});

test('a trial moves the margins, leaves no trace, and is written when it is applied', async () => {
  const editor = await cursorAt('thermal.gus', 't = 3.7 mm');
  const before = editor.document.getText();
  await startTrial();
  await fill('.field input', '4.4 mm');
  const outcome = await tried('would pass');
  expect(/margins? moves?/.test(outcome) && outcome.includes('mass unchanged'), outcome);
  await eventually(
    'the margin tried in its row',
    async () => (await text('tr.moved .tried').catch(() => '')).includes('→ +'),
    async () => text('tr.moved').catch(String),
  );
  await page.waitFor('.codelens-decoration:has-text("failing")');
  await page.screenshot('trial');
  expect(editor.document.getText() === before, 'the text changed');
  await finding('thermal.gus', 'failing-margin');
  await page.click('text=Drop', IN);
  await eventually('the trial dropped', () => page.evaluate<boolean>('!document.querySelector(".field")', 'h1'));
  await vscode.window.showTextDocument(editor.document, vscode.ViewColumn.One);
  await startTrial();
  await fill('.field input', '4.4 mm');
  await tried('would pass');
  await page.click('text=Apply', IN);
  await eventually('the text written', () => editor.document.getText().includes('t = 4.4 mm ± 0.15 mm'));
  await eventually('the trial ended', () => page.evaluate<boolean>('!document.querySelector(".field")', 'h1'));
  await vscode.window.showTextDocument(editor.document, vscode.ViewColumn.One);
  await vscode.commands.executeCommand('workbench.action.files.revert');
});

test('the value of zero margin is found for the chosen row, beside another that is tried', async () => {
  await cursorAt('battery.gus', '  t = 2.4 mm');
  await startTrial();
  await cursorAt('thermal.gus', 'check ultimate');
  await eventually('the row of the cursor', async () => (await text('tr.selected')).startsWith('THM-001'));
  await cursorAt('thermal.gus', 't = 3.7 mm');
  await vscode.commands.executeCommand('gusset.tryValue');
  await page.waitFor('.field:nth-child(2) input', IN);
  await page.evaluate('document.querySelector(".field:nth-child(2) .zero").click(); null', 'h1');
  await tried('The margin of THM-001 ultimate is zero at 3.');
  await tried('THM-001 failing → unverified');
  await page.screenshot('zero-margin');
  await page.click('text=Drop', IN);
});

test('it follows the cursor in any order, and no margin is cut off', async () => {
  await vscode.commands.executeCommand('gusset.showMarginSheet');
  for (const [column, file, words] of [
    ['requirement', 'structure.gus', 'STR-016 "'],
    ['status', 'battery.gus', 'BAT-003 "'],
    ['mode', 'avionics.gus', 'AVN-006 "'],
    ['margin', 'joints.gus', 'JNT-STR "'],
    ['requirement', 'battery.gus', 'BAT-001 "'],
  ] as const) {
    await page.evaluate(`document.querySelector('th[data-column=${column}] button').click(); null`, 'h1');
    await cursorAt(file, words);
    const label = words.slice(0, 7);
    let seen = '';
    await eventually(
      `${label} in sight, sorted by ${column}`,
      async () => {
        seen = await page.evaluate<string>(
          `(rows => (row => row ? row.textContent + [...rows].filter(each => { const box = each.getBoundingClientRect(), of = document.querySelector('.scroller').getBoundingClientRect(); return box.bottom > of.top && box.top < of.bottom; }).includes(row) : 'no row')(document.querySelector('tr.current')))(document.querySelectorAll('tr[data-id]'))`,
          'h1',
        );
        return (words.startsWith('JNT') ? /^JNT/.test(seen) : seen.startsWith(label)) && seen.endsWith('true');
      },
      () => seen,
    );
    const cut = await page.evaluate<string>(
      `[...document.querySelectorAll('.number')].filter(each => each.scrollWidth > each.clientWidth + 1 || each.getBoundingClientRect().right > each.closest('td').getBoundingClientRect().right).map(each => each.textContent).join()`,
      'h1',
    );
    expect(cut === '', cut);
  }
  await page.screenshot('sheet-by-requirement');
  await page.evaluate(`document.querySelector('th[data-column=margin] button').click(); null`, 'h1');
});

test('the masses are read at any height', async () => {
  await page.evaluate(`document.getElementById('tab-mass').click(); null`, 'h1');
  await eventually('the masses', async () =>
    (
      await page.evaluate<string>(`document.querySelector('.picture svg')?.getAttribute('aria-label') ?? ''`, 'h1')
    ).includes('predicted'),
  );
  const size = await page.evaluate<number>(
    `11 * document.querySelector('.picture svg').getBoundingClientRect().width / 640`,
    'h1',
  );
  expect(size >= 8, `letters of ${size} pixels`);
  await page.screenshot('sheet-masses');
  await page.evaluate(`document.getElementById('tab-sweep').click(); null`, 'h1');
});

test('what can not be tried says why', async () => {
  await cursorAt('thermal.gus', 't = 3.7 mm');
  await startTrial();
  await fill('.field input', '4.4 kg');
  await tried('mass');
  await page.click('text=Drop', IN);
});

test('the sheet comes back as it was after it was hidden', async () => {
  await vscode.commands.executeCommand('gusset.showMarginSheet');
  await page.waitFor('tr[data-id]', IN);
  await fill('input[type=search]', 'STR-013');
  await eventually('fewer rows', async () => (await text('.count')).includes(' of '));
  await vscode.window.showTextDocument(
    await vscode.workspace.openTextDocument(uriOf('loads.txt').with({ scheme: 'untitled' })),
    vscode.ViewColumn.Two,
  );
  await eventually('the sheet behind another tab', () =>
    vscode.window.tabGroups.all.some(group => group.activeTab?.label.includes('loads.txt')),
  );
  await vscode.commands.executeCommand('gusset.showMarginSheet');
  await eventually('the filter kept', async () => (await text('.count').catch(() => '')).includes(' of '));
  await fill('input[type=search]', '');
  await vscode.window.tabGroups.close(
    vscode.window.tabGroups.all.flatMap(group => group.tabs).filter(tab => tab.label.includes('loads.txt')),
  );
});

const tabTo = (words: string, key = 'Tab'): Promise<readonly string[]> => keysTo(words, key, 'h1');

test('keys reach whatever the mouse does', async () => {
  await cursorAt('thermal.gus', 'check ultimate');
  await vscode.commands.executeCommand('gusset.showMarginSheet');
  await page.click('h1', IN);
  const passed = await tabTo('Margins; arrow keys move');
  for (const words of ['Try a value', 'Filter rows', 'Status', 'follow the cursor', 'Copy table'])
    expect(
      passed.some(each => each.includes(words)),
      `${words} was not passed: ${passed.join(', ')}`,
    );
  await page.press('Home', 'ArrowDown');
  await eventually(
    'the second row below the first',
    async () => (await text('tr.selected td[data-column=requirement]')) === 'PRP-002',
    () => text('tr.selected'),
  );
  await page.press('Enter');
  await eventually('the source', () => vscode.window.activeTextEditor?.document.uri.path.endsWith('propulsion.gus'));
  await page.click('h1', IN);
  await tabTo('Copy table');
  await page.press('Enter');
  await eventually('the table copied', async () =>
    (await vscode.env.clipboard.readText()).startsWith('Requirement\tMargin'),
  );
  await tabTo('BUTTON Requirement');
  await page.press('Enter');
  const sort = (): Promise<string> =>
    page.evaluate<string>('document.querySelector("th[data-column=requirement]").ariaSort', 'h1');
  await eventually('sorted by requirement', async () => (await sort()) === 'ascending', sort);
  await page.press('Space');
  await eventually('sorted the other way', async () => (await sort()) === 'descending', sort);
  await tabTo('BUTTON Margin');
  await page.press('Enter');
  await tabTo('BUTTON Sweep');
  await page.press('ArrowRight', 'ArrowRight');
  await eventually(
    'the masses',
    async () =>
      (await page.evaluate<string>(
        'document.activeElement.textContent + document.activeElement.ariaSelected',
        'h1',
      )) === 'Mass by parttrue',
  );
  await page.press('Home');
  await page.press('ArrowRight');
  await page.waitFor('.actions button:enabled:text("Save CSV")', IN);
  const saves = await tabTo('Save CSV');
  for (const words of ['Save SVG', 'Save PNG'])
    expect(
      saves.some(each => each.includes(words)),
      `${words} was not passed: ${saves.join(', ')}`,
    );
});

/**
 * To the top of the sheet. By a click, since a browser without a window of its own may miss the keys that move its
 * focus; until the window knows too, which else gives the keys back to the editor.
 */
async function toSheet(): Promise<void> {
  await eventually('the focus in the sheet', async () => {
    await page.click('h1', IN);
    const isActive = vscode.window.tabGroups.activeTabGroup.activeTab?.label === 'Margin Sheet';
    return isActive && page.evaluate<boolean>('document.hasFocus()', 'h1');
  });
}

const focused = (): Promise<string> => page.evaluate<string>('document.activeElement.textContent', 'h1');

/** Until no number is older than the texts, nor faded. */
async function rest(): Promise<void> {
  await eventually(
    'numbers of now',
    async () => !(await page.evaluate<boolean>('!!document.querySelector(".waiting")', 'h1')),
  );
  await page.evaluate(
    'Promise.allSettled(document.getAnimations().filter(each => each instanceof CSSTransition).map(({ finished }) => finished)).then(() => null)',
    'h1',
  );
}

test('keys choose what is shown', async () => {
  await cursorAt('thermal.gus', 'check ultimate');
  await toSheet();
  await tabTo('Filter rows');
  await page.type('STR-013');
  await eventually('fewer rows', async () => (await text('.count')).includes(' of '));
  await page.press('Control+A', 'Delete');
  await eventually('all rows', async () => !(await text('.count')).includes(' of '));
  await tabTo('SELECT Status');
  await page.press('ArrowDown');
  await eventually(
    'the failing one',
    async () => (await text('.count')).startsWith('1 of '),
    () => text('.count'),
  );
  await page.press('ArrowUp');
  await eventually('all rows', async () => !(await text('.count')).includes(' of '));
  const follows = (): Promise<boolean> => page.evaluate<boolean>('!!document.querySelector("tr.current")', 'h1');
  await tabTo('follow the cursor');
  await page.press('Space');
  await eventually('no row of the cursor', async () => !(await follows()));
  await page.press('Space');
  await eventually('the row of the cursor', follows);
});

test('keys sort by every column', async () => {
  await toSheet();
  await vscode.commands.executeCommand('workbench.action.toggleMaximizeEditorGroup');
  await page.waitFor('th[data-column=part]', IN);
  for (const heading of [
    'Requirement',
    'Margin',
    'Status',
    'Failure mode',
    'Governing case',
    'Applied',
    'Allowable',
    'Factors',
    'Part',
    'Margin',
  ]) {
    await tabTo(`BUTTON ${heading}`);
    await page.press('Enter');
    await eventually(
      `sorted by ${heading}`,
      async () => (await text('th[aria-sort=ascending]')) === heading,
      () => text('th[aria-sort=ascending]'),
    );
  }
  await vscode.commands.executeCommand('workbench.action.toggleMaximizeEditorGroup');
});

for (const [button, key] of [
  ['Drop', 'Enter'],
  ['Drop', 'Space'],
  ['Stop trying', 'Enter'],
  ['Stop trying', 'Space'],
  ['Apply', 'Enter'],
  ['Apply', 'Space'],
  ['the field', 'Enter'],
  ['the field', 'Escape'],
] as const) {
  test(`keys try a value, and ${key} on ${button} ends it`, async () => {
    const editor = await cursorAt('thermal.gus', 't = 3.7 mm');
    await toSheet();
    await page.click('h1', IN);
    await tabTo('BUTTON Try a value');
    await page.press('Enter');
    await eventually(
      'the field focused',
      async () => await page.evaluate<string>('document.activeElement.id', 'h1').then(id => id.startsWith('try-')),
    );
    await page.type('4.4 mm');
    await tried('would pass');
    if (key === 'Escape' || button === 'Drop') {
      await tabTo('moved by the trial', 'Shift+Tab');
      await page.press('Space');
      await eventually('rows that move', async () => (await text('.count')).includes(' of '));
      await page.press('Space');
      await eventually('all rows', async () => !(await text('.count')).includes(' of '));
      if (key === 'Escape') await tabTo('RadiatorBracket');
    }
    if (button !== 'the field') await tabTo(button);
    await page.press(key);
    await eventually('the trial ended', () => page.evaluate<boolean>('!document.querySelector(".field")', 'h1'));
    await eventually('the focus where a trial begins', async () => (await focused()) === 'Try a value', focused);
    const applied = button === 'Apply' || `${button} ${key}` === 'the field Enter';
    expect(
      editor.document.getText().includes('t = 4.4 mm') === applied,
      `the text was ${applied ? 'not ' : ''}written`,
    );
    if (!applied) return;
    await vscode.window.showTextDocument(editor.document, vscode.ViewColumn.One);
    await vscode.commands.executeCommand('workbench.action.files.revert');
  });
}

test('the command that drops a trial leaves no field', async () => {
  await cursorAt('thermal.gus', 't = 3.7 mm');
  await startTrial();
  await page.type('4.4 mm');
  await tried('would pass');
  await vscode.commands.executeCommand('gusset.dropTrial');
  await eventually('the trial ended', () => page.evaluate<boolean>('!document.querySelector(".field")', 'h1'));
});

test('on paper it holds every row below its head, and nothing to press', async () => {
  const sheets = await page.print('margin-sheet', '.scroller');
  const rows = sheets.join('\n').match(/^\s*[A-Z]+-\S+\s{2,}(?:[+-]|undetermined|holds)/gm)?.length;
  const checks = Number.parseInt(await text('.count'), 10);
  // What is told of one row may go on behind the last of them.
  const withRows = sheets.filter(each => /^\s*[A-Z]+-\S+\s{2,}(?:[+-]|undetermined|holds)/m.test(each));
  expect(
    withRows.length > 2 && withRows.every(each => /Requirement\s+Margin\s+Status/.test(each)),
    `the head is not on each of ${withRows.length} sheets`,
  );
  expect(rows === checks, `${rows} of ${checks} rows`);
  for (const words of ['Filter', 'Copy table', 'Save SVG', 'Try a value', 'follow the cursor'])
    expect(!sheets.some(each => each.includes(words)), words);
  await eventually('few rows on the screen again', () =>
    page.evaluate<boolean>('document.querySelectorAll("tr[data-id]").length < 80', '.scroller'),
  );
});

test('settings apply while the sheet is open, and take nothing from it', async () => {
  const configuration = vscode.workspace.getConfiguration('gusset');
  const editor = await cursorAt('thermal.gus', 'check ultimate');
  const margins = async (): Promise<string> => `${await text('.count')}, ${await text('tr.current .number')}`;
  await eventually('the row at the cursor', async () => (await text('tr.current .number').catch(() => '')) === '-0.06');
  const before = await margins();
  const hints = async (): Promise<number> =>
    (
      await vscode.commands.executeCommand<unknown[]>(
        'vscode.executeInlayHintProvider',
        editor.document.uri,
        new vscode.Range(0, 0, 999, 0),
      )
    ).length;
  const hover = async (): Promise<string> =>
    (
      await vscode.commands.executeCommand<vscode.Hover[]>(
        'vscode.executeHoverProvider',
        editor.document.uri,
        rangeOf(editor, 'check ultimate').start.translate(0, 2),
      )
    )
      .flatMap(({ contents }) => contents.map(content => (content as vscode.MarkdownString).value))
      .join();
  await eventually('hints', async () => (await hints()) > 0, hints);
  await eventually('a picture in the hover', async () => (await hover()).includes('data:image/svg'), hover);
  try {
    await configuration.update('inlayHintsPerLine', 0, vscode.ConfigurationTarget.Global);
    await eventually('no hints', async () => (await hints()) === 0, hints);
    await configuration.update('hover.pictures', false, vscode.ConfigurationTarget.Global);
    await eventually('a hover without pictures', async () => !(await hover()).includes('data:image/svg'), hover);
    await configuration.update('gutterMarks', false, vscode.ConfigurationTarget.Global);
    await eventually(
      'the sheet at rest, as it was',
      async () =>
        !(await page.evaluate<boolean>('!!document.querySelector(".waiting")', 'h1')) && (await margins()) === before,
      margins,
    );
  } finally {
    for (const name of ['inlayHintsPerLine', 'hover.pictures', 'gutterMarks'])
      await configuration.update(name, undefined, vscode.ConfigurationTarget.Global);
  }
  await eventually('hints', async () => (await hints()) > 0, hints);
});

for (const theme of THEMES) {
  test(`nothing in the sheet keeps anyone out, in the ${theme} theme`, async () => {
    await wear(theme);
    await cursorAt('thermal.gus', 'check ultimate');
    await vscode.commands.executeCommand('gusset.showMarginSheet');
    await quiet();
    await page.waitFor(`body.vscode-${theme} .picture svg path`, IN);
    await keepsNobodyOut('h1');
    await page.screenshot(`margin-sheet-${theme}`);
  });

  test(`nor with a trial, or a filter that nothing holds, in the ${theme} theme`, async () => {
    await cursorAt('thermal.gus', 't = 3.7 mm');
    for (const [value, outcome] of [
      ['4.4 mm', 'would pass'],
      ['4.4 kg', 'mass'],
    ] as const) {
      await startTrial();
      await fill('.field input', value);
      await tried(outcome);
      await rest();
      await keepsNobodyOut('h1');
    }
    await page.click('text=Drop', IN);
    await fill('input[type=search]', 'no such words');
    await eventually('no row', async () => (await text('.count')).startsWith('0 of '));
    await rest();
    await keepsNobodyOut('h1');
    await fill('input[type=search]', '');
  });
}

test('the line above a requirement leads to its margins, the one above a design variable to a trial', async () => {
  await cursorAt('battery.gus', 'part BatteryTray');
  const lenses = await eventually('lenses', async () => {
    const found = await vscode.commands.executeCommand<vscode.CodeLens[]>(
      'vscode.executeCodeLensProvider',
      uriOf('battery.gus'),
      200,
    );
    return found.length > 2 && found;
  });
  const variable = lenses.find(lens => lens.command?.title === 'try another value');
  const requirement = lenses.find(lens => lens.command?.command === 'gusset.showMarginSheet');
  expect(variable && requirement, JSON.stringify(lenses.map(lens => lens.command?.title)));
  void vscode.commands.executeCommand(requirement.command!.command, ...requirement.command!.arguments!);
  await eventually('the row marked', async () =>
    (await text('tr.current td[data-column=requirement]').catch(() => '')).startsWith('BAT-'),
  );
  void vscode.commands.executeCommand(variable.command!.command, ...variable.command!.arguments!);
  await page.waitFor('.field input', IN);
  await page.click('text=Drop', IN);
});

test('a requirement asks which of its values is tried, and a list beside the field offers others for it', async () => {
  const editor = await cursorAt('battery.gus', 'BAT-001');
  await vscode.commands.executeCommand('gusset.showMarginSheet');
  await vscode.window.showTextDocument(editor.document, vscode.ViewColumn.One);
  await quiet();
  const lenses = await vscode.commands.executeCommand<vscode.CodeLens[]>(
    'vscode.executeCodeLensProvider',
    uriOf('battery.gus'),
    200,
  );
  const { command } = lenses.find(lens => lens.command?.title === 'try a value')!;
  void vscode.commands.executeCommand(command!.command, ...command!.arguments!);
  await page.waitFor('.quick-input-list [aria-label^="material"]');
  await page.screenshot('try-a-value');
  await page.type('2.4 mm');
  await page.waitFor(
    '.quick-input-list .monaco-list-row.focused [aria-label^="t"], .quick-input-list .monaco-list-row.focused[aria-label^="t"]',
  );
  await page.press('Enter');
  await page.waitFor('.field select', IN);
  const offered = await page.evaluate<string[]>(
    '[...document.querySelectorAll(".field select option")].map(option => option.textContent)',
    '.field select',
  );
  expect(offered.length === 22 && offered.includes('3.2 mm'), offered.join(' | '));
  await page.evaluate(
    'const list = document.querySelector(".field select"); list.value = "3.2 mm"; list.dispatchEvent(new Event("change", { bubbles: true })); null',
    '.field select',
  );
  await tried('| 3.2 mm');
  await eventually(
    'margins that move',
    async () => / margins? moves? /.test(await text('.trial')),
    () => text('.trial'),
  );
  await page.screenshot('trial-choices');
  await page.click('text=Drop', IN);
});
