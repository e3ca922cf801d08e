/** The window as pictures show it: in one of three themes, with nothing in it but what is looked at. */
import * as vscode from 'vscode';
import { page } from './page.js';

/** Its name, and the class that the workbench has once it is worn. */
const LOOKS = {
  light: ['Default Light Modern', 'vs'],
  dark: ['Default Dark Modern', 'vs-dark'],
  'high-contrast': ['Default High Contrast', 'hc-black'],
} as const;
export type Theme = keyof typeof LOOKS;
export const THEMES = Object.keys(LOOKS) as Theme[];

const PLAIN = {
  'editor.minimap.enabled': false,
  'editor.wordWrap': 'on',
  'chat.disableAIFeatures': true,
  'window.autoDetectHighContrast': false,
  'window.commandCenter': false,
  'workbench.layoutControl.enabled': false,
  'workbench.secondarySideBar.defaultVisibility': 'hidden',
};

async function set(name: string, value: unknown): Promise<void> {
  await vscode.workspace.getConfiguration().update(name, value, vscode.ConfigurationTarget.Global);
}

/** Takes out what other suites and the editor itself put there. */
export async function plainWindow(): Promise<void> {
  for (const [name, value] of Object.entries(PLAIN)) await set(name, value);
  for (const command of [
    'workbench.action.closeAuxiliaryBar',
    'workbench.action.closePanel',
    'notifications.clearAll',
    'notifications.hideList',
  ])
    await vscode.commands.executeCommand(command);
}

export async function wear(theme: Theme): Promise<void> {
  const [name, sign] = LOOKS[theme];
  await set('workbench.colorTheme', name);
  await page.waitFor(`.monaco-workbench.${sign}`);
}
