/** What of the settings and of the theme the server is told. */
import * as vscode from 'vscode';
import { settingsMessage, type ClientOptions } from '../../server/protocol/messages.js';
import { judgedAsOf } from './as-of.js';
import type { ServerLink } from './server-link.js';
import { SECTION, setting } from './setting.js';

export function serverOptions(): ClientOptions {
  return { servesFiles: true, hasViews: true, asOf: judgedAsOf(), ...changeable() };
}

function changeable(): ClientOptions {
  const { kind } = vscode.window.activeColorTheme;
  const light = kind === vscode.ColorThemeKind.Light || kind === vscode.ColorThemeKind.HighContrastLight;
  return {
    inlayHintsPerLine: setting<number>('inlayHintsPerLine'),
    // A folder from a stranger must not make the machine read others.
    libraryFolders: vscode.workspace.isTrusted ? setting<readonly string[]>('libraryFolders') : [],
    pictures: setting<boolean>('hover.pictures') ? (light ? 'light' : 'dark') : null,
  };
}

/** Settings and theme are followed while the server runs. */
export function activateSettings(context: vscode.ExtensionContext, link: ServerLink): void {
  const tell = (): void => link.notify(settingsMessage, changeable());
  context.subscriptions.push(
    vscode.workspace.onDidChangeConfiguration(change => {
      if (change.affectsConfiguration(SECTION)) tell();
    }),
    vscode.window.onDidChangeActiveColorTheme(tell),
    vscode.workspace.onDidGrantWorkspaceTrust(tell),
  );
}
