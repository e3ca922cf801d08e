/**
 * Figures of the margin sheet in a real editor, with 20,000 checks: until rows are seen, and frames that come late
 * while it is worked.
 */
import * as vscode from 'vscode';
import { eventually, expect, open, replace, rangeOf } from './support/editor.js';
import { ask } from './support/host.js';
import { page } from './support/page.js';
import { test } from './support/runner.js';

const CHECKS = 20_000;
const PATIENCE = 150_000;
/** A frame later than this, in milliseconds, is seen as a stutter. */
const LATE = 50;

interface Frames {
  readonly milliseconds: number;
  readonly longestFrame: number;
  readonly lateFrames: number;
}

const SHEET = '.scroller';

/** Does something in the page of the sheet and tells how its frames came until `done`, both expressions of the page. */
async function worked(work: string, done: string): Promise<Frames> {
  return page.evaluate<Frames>(
    `new Promise(async resolve => {
    const frame = () => new Promise(next => requestAnimationFrame(next));
    await frame(); await frame();
    const start = performance.now();
    let [last, longestFrame, lateFrames] = [start, 0, 0];
    const step = ${work};
    for (let n = 0; ; n++) {
      step(n);
      const now = await frame();
      longestFrame = Math.max(longestFrame, now - last);
      if (now - last > ${LATE}) lateFrames++;
      last = now;
      if (n > 0 && (${done})) break;
    }
    resolve({ milliseconds: last - start, longestFrame, lateFrames });
  })`,
    SHEET,
  );
}

const once = (script: string): string => `n => { if (n === 0) { ${script} } }`;
const sorted = (column: string): Promise<Frames> =>
  worked(
    once(`document.querySelector('th[data-column=${column}] button').click()`),
    `document.querySelector('th[data-column=${column}]').ariaSort !== 'none'`,
  );

test(
  'figures',
  async () => {
    await vscode.extensions.getExtension('gusset.gusset')!.activate();
    const editor = await open('parts-0050.gus');
    await eventually(
      'the counts',
      () =>
        page.evaluate<boolean>(
          `[...document.querySelectorAll('.statusbar-item')].some(item => /\\d+ verified/.test(item.textContent))`,
        ),
      undefined,
      PATIENCE,
    );
    const at = rangeOf(editor, 'check ultimate').start;
    editor.selection = new vscode.Selection(at, at);
    const start = performance.now();
    await vscode.commands.executeCommand('gusset.showMarginSheet');
    await page.waitFor('tr[data-id]', { webview: true });
    const opening = performance.now() - start;
    const count = await page.text('.count', { webview: true });
    expect(count === `${CHECKS} checks`, count);
    await page.waitFor('.picture svg', { webview: true });
    const idle = await worked('() => undefined', 'n > 300');
    const scrolling = await worked(
      `n => { document.querySelector('.scroller').scrollTop = n * 900; }`,
      `(scroller => scroller.scrollTop + scroller.clientHeight >= scroller.scrollHeight - 1)(document.querySelector('.scroller'))`,
    );
    const seen = await page.evaluate<string>(
      `document.querySelector('tbody tr[data-id]:nth-last-child(2)').textContent`,
      SHEET,
    );
    const sorting = {
      requirement: await sorted('requirement'),
      applied: await sorted('applied'),
      part: await sorted('part'),
      margin: await sorted('margin'),
    };
    const type = (words: string): string =>
      once(
        `const field = document.querySelector('input[type=search]'); field.value = '${words}'; field.dispatchEvent(new Event('input', { bubbles: true }));`,
      );
    const filtering = {
      'first letter': await worked(type('d'), 'true'),
      word: await worked(type('deflection 0001'), `document.querySelector('.count').textContent.includes(' of ')`),
      cleared: await worked(type(''), `!document.querySelector('.count').textContent.includes(' of ')`),
    };
    const edited = async (from: string, to: string, path: string, done: string): Promise<Frames> => {
      const other =
        path === 'parts-0050.gus'
          ? editor
          : await vscode.window.showTextDocument(
              await vscode.workspace.openTextDocument(
                vscode.Uri.joinPath(vscode.workspace.workspaceFolders![0]!.uri, path),
              ),
              vscode.ViewColumn.One,
            );
      const frames = worked('() => undefined', done);
      await replace(other, from, to);
      const measured = await frames;
      return measured;
    };
    // Seen is what the rows in sight say, and no bar above them that others will come.
    const rows = `[...document.querySelectorAll('tr[data-id]')].map(row => row.textContent).join()`;
    const moved = async (from: string, to: string, path: string): Promise<Record<string, Frames>> => {
      await page.evaluate(
        `new Promise(next => { document.querySelector('.scroller').scrollTop = 0; requestAnimationFrame(() => requestAnimationFrame(() => { globalThis.before = ${rows}; next(null); })); })`,
        SHEET,
      );
      return {
        'rows in sight': await edited(
          from,
          to,
          path,
          `!document.querySelector('tr[data-id]:not(.early)') && ${rows} !== before || !document.querySelector('.waiting') && ${rows} !== before`,
        ),
        'whole sheet': await worked('() => undefined', `!document.querySelector('.waiting')`),
      };
    };
    const thickness = /t = \d\.\d mm/.exec(editor.document.getText())![0];
    const one = await moved(thickness, 't = 0.3 mm', 'parts-0050.gus');
    const again = await moved('t = 0.3 mm', 't = 0.4 mm', 'parts-0050.gus');
    const loads = (lateral: string, axial: string): string =>
      `lateral = ${lateral} g0   temperature = 20 degC }\nload Cutoff "Stage cut-off" { axial = ${axial} g0`;
    const all = await moved(loads('2.8', '9.0'), loads('2.9', '9.5'), 'shared.gus');
    await ask('report', {
      name: 'sheet',
      figures: {
        checks: CHECKS,
        lateAbove: LATE,
        seen,
        milliseconds: {
          'command to first rows': opening,
          'nothing done': idle,
          'scrolled through all': scrolling,
          'sorted by': sorting,
          filtered: filtering,
          'edit that moves one row': one,
          'another edit that moves it': again,
          'edit that moves every row': all,
        },
      },
    });
  },
  PATIENCE,
);
