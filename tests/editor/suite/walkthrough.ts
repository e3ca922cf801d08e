/** The walkthrough, and the pictures in it, which are taken here. */
import * as vscode from 'vscode';
import { eventually, expect, finding, open, rangeOf } from '../support/editor.js';
import { fill, page, type Area } from '../support/page.js';
import { test } from '../support/runner.js';
import { plainWindow, wear } from '../support/window.js';

const IN = { webview: true };
/** As wide as the walkthrough shows a picture. */
const WIDTH = 700;

/** Of what a selector finds first, the upper left part of so many pixels; `above` it what stands there too. */
function areaOf(selector: string, width: number, height: number, above = 0): Promise<Area> {
  return page.evaluate<Area>(
    `(({ x, y }) => ({ x, y: y - ${above}, width: ${width}, height: ${height} }))(document.querySelector(${JSON.stringify(selector)}).getBoundingClientRect())`,
  );
}

/** Lines of the language as long as a picture is wide; without a column as everywhere. */
async function wrapAt(column?: number): Promise<void> {
  const editor = vscode.workspace.getConfiguration('editor', { languageId: 'gusset' });
  for (const [name, value] of Object.entries({ wordWrap: 'wordWrapColumn', wordWrapColumn: column }))
    await editor.update(name, column && value, vscode.ConfigurationTarget.Global, true);
}

for (const theme of ['light', 'dark'] as const) {
  test(`pictures of the walkthrough in the ${theme} theme`, async () => {
    await plainWindow();
    await wear(theme);
    await vscode.commands.executeCommand('workbench.action.closeSidebar');
    const editor = await open('thermal.gus');
    const { range } = await finding('thermal.gus', 'failing-margin');
    const at = rangeOf(editor, 't = 3.7 mm').end;
    editor.selection = new vscode.Selection(at, at);
    editor.revealRange(range, vscode.TextEditorRevealType.InCenter);
    await page.waitFor('.squiggly-error');
    await page.waitFor('.codelens-decoration:has-text("predicted")');
    await wrapAt(72);
    await vscode.commands.executeCommand('workbench.action.focusActiveEditorGroup');
    editor.revealRange(range, vscode.TextEditorRevealType.InCenter);
    const code = await areaOf('.editor-instance .monaco-editor', WIDTH, 300);
    const { y } = await areaOf('.squiggly-error', WIDTH, 0);
    await page.screenshot(`walkthrough-margins-${theme}`, { ...code, y: y - 190 });
    await wrapAt();

    await vscode.commands.executeCommand('gusset.requirements.focus');
    await page.waitFor('.part.sidebar .monaco-list-row:has-text("THM-001")');
    await page.screenshot(`walkthrough-requirements-${theme}`, await areaOf('.part.sidebar', 580, 310));

    await vscode.commands.executeCommand('workbench.action.closeSidebar');
    await vscode.window.showTextDocument(editor.document, vscode.ViewColumn.One);
    await vscode.commands.executeCommand('gusset.tryValue');
    await page.waitFor('.field input', IN);
    await fill('.field input', '4.4 mm');
    await eventually('the trial', async () => (await page.text('.trial', IN)).includes('would pass'));
    await page.screenshot(`walkthrough-sheet-${theme}`, await areaOf('iframe.webview', WIDTH, 440));
    await page.click('text=Drop', IN);
    await vscode.commands.executeCommand('workbench.action.closeAllEditors');
  });
}

interface Walkthrough {
  readonly steps: readonly { readonly title: string; readonly completionEvents: readonly string[] }[];
}

test('the walkthrough opens, its pictures are there, and the editor knows when each step is done', async () => {
  const { packageJSON } = vscode.extensions.getExtension('gusset.gusset')!;
  const { steps } = (packageJSON.contributes.walkthroughs as readonly Walkthrough[])[0]!;
  for (const event of steps.flatMap(({ completionEvents }) => completionEvents))
    expect(/^on(Command|Context|View|Link|SettingChanged):/.test(event), `the editor knows no ${event}`);
  await plainWindow();
  await wear('dark');
  await vscode.commands.executeCommand('workbench.action.closeSidebar');
  await vscode.commands.executeCommand('workbench.action.openWalkthrough', 'gusset.gusset#start', false);
  await page.waitFor('.gettingStartedContainer :text("Get Started with Gusset")');
  for (const [n, { title }] of steps.entries()) {
    await page.click(`.gettingStartedContainer .step-title:has-text("${title}")`);
    if (n === 0) await page.waitFor('code:has-text("part Bracket")', IN);
    else
      await eventually('the picture', () =>
        page.evaluate<boolean>(
          `[...document.querySelectorAll('.getting-started-media img')].some(image => image.complete && image.naturalWidth > 200)`,
        ),
      );
    await page.screenshot(`step-${n + 1}-of-the-walkthrough`);
  }
});
