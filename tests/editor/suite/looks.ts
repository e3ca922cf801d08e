import * as vscode from 'vscode';
import { eventually, finding, open, rangeOf } from '../support/editor.js';
import { page } from '../support/page.js';
import { test } from '../support/runner.js';

const THEMES = { light: 'Default Light Modern', dark: 'Default Dark Modern', 'high-contrast': 'Default High Contrast' };

async function settings(values: Readonly<Record<string, unknown>>): Promise<void> {
  for (const [name, value] of Object.entries(values))
    await vscode.workspace.getConfiguration().update(name, value, vscode.ConfigurationTarget.Global);
}

/** The hover of what the cursor is on. What arrives just then, lenses above the lines, takes one away again. */
async function showHover(): Promise<void> {
  await eventually('the hover', async () => {
    await vscode.commands.executeCommand('editor.action.showHover');
    await new Promise(resolve => setTimeout(resolve, 400));
    return page.evaluate<boolean>(
      `document.querySelector('.monaco-hover:not(.hidden) .monaco-hover-content') !== null`,
    );
  });
}

for (const [name, theme] of Object.entries(THEMES)) {
  test(`a failing margin in ${theme}`, async () => {
    await settings({
      'workbench.colorTheme': theme,
      'window.autoDetectHighContrast': false,
      'editor.minimap.enabled': false,
      'editor.wordWrap': 'on',
      'chat.disableAIFeatures': true,
      'workbench.layoutControl.enabled': false,
      'window.commandCenter': false,
      'workbench.secondarySideBar.defaultVisibility': 'hidden',
    });
    for (const command of [
      'workbench.action.closeAuxiliaryBar',
      'notifications.clearAll',
      'workbench.view.explorer',
      'workbench.actions.view.problems',
    ])
      await vscode.commands.executeCommand(command);
    const editor = await open('thermal.gus');
    const margin = await finding('thermal.gus', 'failing-margin');
    editor.revealRange(margin.range, vscode.TextEditorRevealType.InCenter);
    const at = rangeOf(editor, 'check ultimate').start.translate(0, 2);
    editor.selection = new vscode.Selection(at, at);
    await vscode.commands.executeCommand('workbench.action.focusActiveEditorGroup');
    await showHover();
    await page.waitFor('.markers-panel-container .monaco-list-row');
    await page.screenshot(`failing-margin-${name}`);
    await vscode.commands.executeCommand('editor.action.hideHover');
    await vscode.commands.executeCommand('workbench.action.closePanel');
  });

  test(`the hovers of a sweep and of a spectrum in ${theme}`, async () => {
    await settings({ 'workbench.colorTheme': theme });
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
      await showHover();
      await page.waitFor('.monaco-hover:not(.hidden) img[alt*="over"]');
      // The picture of a sweep stands below the worked calculation.
      for (const command of ['editor.action.showHover', 'editor.action.goToBottomHover'])
        await vscode.commands.executeCommand(command);
      await page.waitFor('.monaco-hover:not(.hidden) img[alt*="over"]');
      await page.screenshot(`${picture}-${name}`);
      await vscode.commands.executeCommand('editor.action.hideHover');
    }
  });
}
