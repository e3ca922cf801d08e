/** `check --watch` as a process, beside an editor that saves by renaming, deletes and makes anew. */
import { spawn, type ChildProcess } from 'node:child_process';
import { mkdtempSync, renameSync, rmSync, unlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';

const model = (t: number): string =>
  `project P "P" { date = 2027-01-01 }\nrequirement R-1 "It shall be thick." { check thick: ${t} mm >= 2 mm   verify by analysis }\n`;

let folder: string;
let running: ChildProcess;
let printed: string;
let complained: string;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'gusset-watched-'));
  writeFileSync(join(folder, 'a.gus'), model(3));
  printed = complained = '';
  running = spawn(process.execPath, [resolve('out/cli.mjs'), 'check', folder, '--watch', '--brief'], { stdio: 'pipe' });
  running.stdout!.setEncoding('utf8').on('data', (text: string) => (printed += text));
  running.stderr!.setEncoding('utf8').on('data', (text: string) => (complained += text));
});

afterEach(async () => {
  const ended = new Promise(done => running.once('exit', done));
  running.kill('SIGKILL');
  await ended;
  rmSync(folder, { recursive: true });
});

/** As editors save: the whole text beside the file, then in its place. */
function saveByRenaming(t: number): void {
  writeFileSync(join(folder, '.a.gus.swp'), model(t));
  renameSync(join(folder, '.a.gus.swp'), join(folder, 'a.gus'));
}

/** What is printed from now on until the next count of requirements. */
async function nextPrint(change: () => void): Promise<string> {
  const from = printed.length;
  change();
  await expect.poll(() => printed.slice(from), { timeout: 15_000 }).toContain('A check aid');
  return printed.slice(from);
}

test('follows saves by renaming, one after the other, and files that go and come', { timeout: 60_000 }, async () => {
  await nextPrint(() => undefined);
  expect(await nextPrint(() => saveByRenaming(2.5))).toMatch(/R-1 thick +\+0\.50 {2}-> {2}\+0\.25/);
  expect(await nextPrint(() => saveByRenaming(1))).toMatch(
    /R-1 +verified {2}-> {2}failing\nR-1 thick +\+0\.25 {2}-> {2}-0\.50/,
  );
  unlinkSync(join(folder, 'a.gus'));
  await expect.poll(() => complained, { timeout: 15_000 }).toContain('holds no .gus file');
  expect(await nextPrint(() => saveByRenaming(4))).toMatch(
    /R-1 +failing {2}-> {2}verified\nR-1 thick +-0\.50 {2}-> {2}\+1\.00/,
  );
  expect(await nextPrint(() => saveByRenaming(4))).toMatch(/^Nothing moved\.\n\n1 requirement/);
});
