import * as vscode from 'vscode';
import { eventually, finding, noFinding, uriOf, withCode } from '../support/editor.js';
import { test } from '../support/runner.js';

test('a second workspace folder has a project of its own, and its findings go with it', async () => {
  await finding('thermal.gus', 'failing-margin');
  const other = vscode.Uri.joinPath(uriOf(''), '..', 'other');
  const file = vscode.Uri.joinPath(other, 'project.gus');
  await vscode.workspace.fs.writeFile(file, new TextEncoder().encode('project Other "Other" { date = 2027-01-01 }\nrequirement THM-001 "The other shall hold." {\n  check 3 N <= 2 N\n  verify by analysis\n}\n'));
  vscode.workspace.updateWorkspaceFolders(1, 0, { uri: other });
  const codes = (): unknown[] => vscode.languages.getDiagnostics(file).map(each => each.message);
  await eventually('a failing margin in the other folder', () => vscode.languages.getDiagnostics(file).some(withCode('failing-margin')), codes);
  await noFinding('thermal.gus', 'duplicate-name');
  vscode.workspace.updateWorkspaceFolders(1, 1);
  await eventually('no findings in the other folder', () => codes().length === 0, codes);
});
