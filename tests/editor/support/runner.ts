/**
 * Scenarios inside the extension host: `test(name, work)`, run one after the other, each result reported to the host.
 */
import * as vscode from 'vscode';
import { discardChanges } from './editor.js';
import { ask } from './host.js';
import { page } from './page.js';

/** For what hangs: a machine with other work in hand is slow and not wrong. */
const usualLimit = 300_000;
/** After so many failures in a row something is wrong that all tests share, and each would wait for it in vain. */
const mostInARow = 5;
let tests: { readonly name: string; readonly work: () => Promise<void>; readonly limit: number }[] = [];

/** A test that has `limit` milliseconds. */
export function test(name: string, work: () => Promise<void>, limit = usualLimit): void {
  tests.push({ name, work, limit });
}

/** Loads suites and runs their tests. What a suite changed and did not save is dropped after it. */
export async function runSuites(suites: readonly (readonly [string, () => Promise<unknown>])[]): Promise<void> {
  let failed = 0;
  let inARow = 0;
  // What a test changes is not written behind its back.
  await vscode.workspace.getConfiguration().update('files.autoSave', 'off', vscode.ConfigurationTarget.Global);
  for (const [suite, load] of suites) {
    tests = [];
    await load();
    for (const { name, work, limit } of tests) {
      const start = Date.now();
      const error =
        inARow >= mostInARow
          ? `not run: the ${mostInARow} before it failed`
          : await within(limit, work()).then(
              () => undefined,
              (reason: unknown) => (reason instanceof Error ? reason.message : String(reason)),
            );
      inARow = error === undefined ? 0 : inARow + 1;
      if (error !== undefined) {
        failed++;
        await page.screenshot(`failed/${suite} ${name.replaceAll('/', ' ')}`).catch(() => undefined);
      }
      await ask('report', { name: `${suite}: ${name}`, milliseconds: Date.now() - start, error });
    }
    await discardChanges();
  }
  await ask('finish', { code: failed === 0 ? 0 : 1 });
}

async function within(milliseconds: number, work: Promise<void>): Promise<void> {
  let timer: ReturnType<typeof setTimeout> | undefined;
  const tooLate = new Promise<never>((_, reject) => {
    timer = setTimeout(() => reject(new Error(`not done after ${milliseconds / 1000} s`)), milliseconds);
  });
  await Promise.race([work, tooLate]).finally(() => clearTimeout(timer));
}
