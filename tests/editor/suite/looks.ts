import * as vscode from 'vscode';
import { eventually, finding, open, rangeOf } from '../support/editor.js';
import { page } from '../support/page.js';
import { test } from '../support/runner.js';
import { plainWindow, THEMES, wear } from '../support/window.js';

/**
 * The hover of what the cursor is on, asked for until it shows something that matches: lenses that arrive above the
 * lines take one away again.
 */
async function showHover(content: string): Promise<void> {
  await eventually('the hover', async () => {
    if (await isHoverShown(content)) return true;
    await vscode.commands.executeCommand('editor.action.showHover');
    return isHoverShown(content);
  });
}

function isHoverShown(content: string): Promise<boolean> {
  return page.evaluate<boolean>(
    `document.querySelector(${JSON.stringify(`.monaco-hover:not(.hidden) ${content}`)}) !== null`,
  );
}

for (const theme of THEMES) {
  test(`a failing margin in the ${theme} theme`, async () => {
    await plainWindow();
    await wear(theme);
    for (const command of ['workbench.view.explorer', 'workbench.actions.view.problems'])
      await vscode.commands.executeCommand(command);
    const editor = await open('thermal.gus');
    const margin = await finding('thermal.gus', 'failing-margin');
    editor.revealRange(margin.range, vscode.TextEditorRevealType.InCenter);
    const at = rangeOf(editor, 'check ultimate').start.translate(0, 2);
    editor.selection = new vscode.Selection(at, at);
    await vscode.commands.executeCommand('workbench.action.focusActiveEditorGroup');
    await page.waitFor('.markers-panel-container .monaco-list-row');
    await page.waitFor('.codelens-decoration:has-text("predicted")');
    await showHover('.monaco-hover-content');
    await page.screenshot(`failing-margin-${theme}`);
    await vscode.commands.executeCommand('editor.action.hideHover');
    await vscode.commands.executeCommand('workbench.action.closePanel');
  });

  test(`the hovers of a sweep and of a spectrum in the ${theme} theme`, async () => {
    await wear(theme);
    for (const [picture, file, words] of [
      ['hover-sweep', 'battery.gus', 'check delamination'],
      ['hover-cases', 'structure.gus', 'check shear_out'],
      ['hover-spectrum', 'environments-and-loads.gus', 'psd = ['],
    ] as const) {
      const editor = await open(file);
      const at = rangeOf(editor, words).start.translate(0, 1);
      editor.selection = new vscode.Selection(at, at);
      editor.revealRange(editor.selection, vscode.TextEditorRevealType.AtTop);
      await vscode.commands.executeCommand('workbench.action.focusActiveEditorGroup');
      // The picture of a sweep stands below the worked calculation.
      await eventually('the end of the hover', async () => {
        await showHover('img[alt*="over"]');
        for (const command of ['editor.action.showHover', 'editor.action.goToBottomHover'])
          await vscode.commands.executeCommand(command);
        return isHoverShown('img[alt*="over"]');
      });
      await page.screenshot(`${picture}-${theme}`);
      await vscode.commands.executeCommand('editor.action.hideHover');
    }
  });
}
