import * as vscode from 'vscode';
import { eventually, expect, finding, open, replace } from '../support/editor.js';
import { page } from '../support/page.js';
import { test } from '../support/runner.js';
import { wear } from '../support/window.js';

/** The pictures beside the lines that are drawn, decoded. */
function marks(): Promise<readonly string[]> {
  return page.evaluate<string[]>(
    `[...document.querySelectorAll('.glyph-margin-widgets .cgmr')].map(each => /base64,([A-Za-z0-9+/=]+)/.exec(getComputedStyle(each).backgroundImage)?.[1]).filter(Boolean).map(atob)`,
  );
}

const FADED = 'opacity="0.35"';
const FAILING = '<circle cx="8" cy="8" r="6.2"';

async function shows(what: string, condition: (pictures: readonly string[]) => boolean): Promise<void> {
  let seen: readonly string[] = [];
  await eventually(
    what,
    async () => {
      seen = await marks();
      return condition(seen);
    },
    () => seen,
  );
}

test('each requirement has a mark beside its line', async () => {
  await vscode.commands.executeCommand('workbench.view.explorer');
  await open('thermal.gus');
  await finding('thermal.gus', 'failing-margin');
  await shows(
    'two marks, one of them failing',
    pictures =>
      pictures.length === 2 &&
      pictures.filter(picture => picture.includes(FAILING)).length === 1 &&
      !pictures.some(picture => picture.includes(FADED)),
  );
  for (const theme of ['light', 'dark'] as const) {
    await wear(theme);
    await page.screenshot(`marks-${theme}`);
  }
});

test('they are faded while the text is newer than the verdict', async () => {
  const editor = await open('thermal.gus');
  // The page itself watches: a faded mark stands for some tenths of a second.
  await page.evaluate(
    `window.faded = 0; window.watching = setInterval(() => { for (const each of document.querySelectorAll('.glyph-margin-widgets .cgmr')) if (atob(/base64,([A-Za-z0-9+/=]+)/.exec(getComputedStyle(each).backgroundImage)?.[1] ?? '').includes(${JSON.stringify(FADED)})) window.faded++; }, 10)`,
  );
  await replace(editor, 't = 3.7 mm', 't = 4.1 mm');
  await shows(
    'no failing mark',
    pictures =>
      pictures.length === 2 && !pictures.some(picture => picture.includes(FAILING) || picture.includes(FADED)),
  );
  expect(
    (await page.evaluate<number>('clearInterval(window.watching), window.faded')) > 0,
    'the old marks were not faded',
  );
  await replace(editor, 't = 4.1 mm', 't = 3.7 mm');
  await shows('the failing mark', pictures =>
    pictures.some(picture => picture.includes(FAILING) && !picture.includes(FADED)),
  );
});

test('a setting takes them away and brings them back', async () => {
  const setting = vscode.workspace.getConfiguration('gusset');
  await setting.update('gutterMarks', false, vscode.ConfigurationTarget.Global);
  await shows('no mark', pictures => pictures.length === 0);
  await setting.update('gutterMarks', undefined, vscode.ConfigurationTarget.Global);
  await shows('both marks', pictures => pictures.length === 2);
});
