/** The editor as tests use it: files of the example by their path, findings awaited, edits as a user's. */
import * as vscode from 'vscode';

const usualPatience = 120_000;

export function uriOf(path: string): vscode.Uri {
  return vscode.Uri.joinPath(vscode.workspace.workspaceFolders![0]!.uri, path);
}

export async function open(path: string): Promise<vscode.TextEditor> {
  return vscode.window.showTextDocument(await vscode.workspace.openTextDocument(uriOf(path)));
}

/** Where `text` first stands, in a file that is open. */
export function rangeOf(editor: vscode.TextEditor, text: string): vscode.Range {
  const { document } = editor;
  const offset = document.getText().indexOf(text);
  if (offset < 0) throw new Error(`${document.uri.path} does not hold ${text}`);
  return new vscode.Range(document.positionAt(offset), document.positionAt(offset + text.length));
}

export async function replace(editor: vscode.TextEditor, from: string, to: string): Promise<void> {
  const range = rangeOf(editor, from);
  if (!(await editor.edit(edit => edit.replace(range, to)))) throw new Error(`${from} could not be replaced`);
}

export function findings(path: string): readonly vscode.Diagnostic[] {
  return vscode.languages.getDiagnostics(uriOf(path));
}

export function withCode(code: string): (finding: vscode.Diagnostic) => boolean {
  return finding => (typeof finding.code === 'object' ? finding.code.value : finding.code) === code;
}

/** Waits until a file has a finding with this code, whose message holds `words`. */
export function finding(path: string, code: string, words = ''): Promise<vscode.Diagnostic> {
  return eventually(
    `${code} in ${path}`,
    () => findings(path).find(each => withCode(code)(each) && each.message.includes(words)),
    () => findings(path).map(each => each.message),
  );
}

export async function noFinding(path: string, code: string): Promise<void> {
  await eventually(
    `no ${code} in ${path}`,
    () => !findings(path).some(withCode(code)),
    () => findings(path).map(each => each.message),
  );
}

/**
 * The first answer that is neither undefined nor false; after some patience a failure that says what was awaited and
 * what there is instead.
 */
export async function eventually<T>(
  what: string,
  answer: () => T | Promise<T>,
  instead: () => unknown = () => '',
  patience = usualPatience,
): Promise<Exclude<T, undefined | false>> {
  const end = Date.now() + patience;
  for (;;) {
    const value = await answer();
    if (value !== undefined && value !== false) return value as Exclude<T, undefined | false>;
    if (Date.now() > end) throw new Error(`awaited ${what}, found ${JSON.stringify(await instead())}`);
    await new Promise(resolve => setTimeout(resolve, 25));
  }
}

export function expect(condition: unknown, otherwise: string): asserts condition {
  if (!condition) throw new Error(otherwise);
}

/** Takes back all edits that were not saved and closes all editors. */
export async function discardChanges(): Promise<void> {
  for (const document of vscode.workspace.textDocuments.filter(each => each.isDirty)) {
    await vscode.window.showTextDocument(document);
    await vscode.commands.executeCommand('workbench.action.files.revert');
  }
  await vscode.commands.executeCommand('workbench.action.closeAllEditors');
}
