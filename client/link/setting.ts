import * as vscode from 'vscode';

export const SECTION = 'gusset';

/** A setting by its name below `gusset`; its default stands in the extension's manifest. */
export function setting<T>(name: string): T {
  return vscode.workspace.getConfiguration(SECTION).get<T>(name)!;
}
