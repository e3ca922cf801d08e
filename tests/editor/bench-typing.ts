/**
 * Figures of the extension in a real editor, over a generated workspace of 10,000 requirements that lies beside the
 * empty one it starts with.
 */
import * as vscode from 'vscode';
import { replace, withCode } from './support/editor.js';
import { ask } from './support/host.js';
import { test } from './support/runner.js';

const ROUNDS = 30;
const PATIENCE = 150_000;

type Found = readonly vscode.Diagnostic[];

/** Resolves once the editor holds findings of a file that satisfy `condition`. */
function until(uri: vscode.Uri, condition: (found: Found) => boolean): Promise<void> {
  const found = (): Found => vscode.languages.getDiagnostics(uri);
  if (condition(found())) return Promise.resolve();
  return new Promise(resolve => {
    const listening = vscode.languages.onDidChangeDiagnostics(() => {
      if (!condition(found())) return;
      listening.dispose();
      resolve();
    });
  });
}

async function timed(work: () => PromiseLike<unknown>): Promise<number> {
  const start = performance.now();
  await work();
  return performance.now() - start;
}

function percentile(values: readonly number[], share: number): number {
  return values.toSorted((x, y) => x - y)[Math.ceil(share * values.length) - 1]!;
}

test(
  'figures',
  async () => {
    const folder = vscode.Uri.joinPath(vscode.workspace.workspaceFolders![0]!.uri, '..', 'generated');
    const uri = vscode.Uri.joinPath(folder, 'parts-0050.gus');
    const has =
      (code: string) =>
      (found: Found): boolean =>
        found.some(withCode(code));
    const activation = await timed(() => vscode.extensions.getExtension('gusset.gusset')!.activate());
    const opening = await timed(async () => {
      vscode.workspace.updateWorkspaceFolders(1, 0, { uri: folder });
      await until(vscode.Uri.joinPath(folder, 'mistake.gus'), has('cannot-add'));
    });
    const editor = await vscode.window.showTextDocument(uri);
    const appearing = async (from: string, to: string, code: string): Promise<Record<'p50' | 'p95', number>> => {
      const times: number[] = [];
      for (let round = 0; round < ROUNDS; round++) {
        times.push(
          await timed(async () => {
            await replace(editor, from, to);
            await until(uri, has(code));
          }),
        );
        await replace(editor, to, from);
        await until(uri, found => !has(code)(found));
      }
      return { p50: percentile(times, 0.5), p95: percentile(times, 0.95) };
    };
    const margin = await appearing(/t = \d\.\d mm/.exec(editor.document.getText())![0], 't = 0.3 mm', 'failing-margin');
    const name = await appearing('(width *', '(widthx *', 'unknown-name');
    await replace(editor, '(width *', '(widthx *');
    await until(uri, has('unknown-name'));
    const restart = await timed(async () => {
      const gone = until(uri, found => found.length === 0);
      const restarted = vscode.commands.executeCommand('gusset.restartServer');
      await gone;
      await until(uri, has('unknown-name'));
      await restarted;
    });
    const milliseconds = {
      'activation, server started': activation,
      'folder opened to its findings': opening,
      'value typed to squiggle of the failing margin': margin,
      'name misspelt to its squiggle': name,
      'server restarted to first findings': restart,
    };
    await ask('report', { name: 'typing', figures: { requirements: 10_000, milliseconds } });
  },
  PATIENCE,
);
