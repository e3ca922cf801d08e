/** What this machine can do, for tests of what not every machine can. */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

export const onWindows = process.platform === 'win32';

/** Links between files: on Windows a matter of rights. */
export const canLink = ((): boolean => {
  const folder = mkdtempSync(join(tmpdir(), 'gusset-links-'));
  try {
    writeFileSync(join(folder, 'real'), 'read');
    symlinkSync('real', join(folder, 'link'));
    return readFileSync(join(folder, 'link'), 'utf8') === 'read';
  } catch {
    return false;
  } finally {
    rmSync(folder, { recursive: true });
  }
})();

/** Named pipes among the files. */
export const hasPipeFiles = runs('mkfifo');
export const hasGit = runs('git');

function runs(program: string): boolean {
  return spawnSync(program, ['--version']).status === 0;
}

/** Whether the file system holds names apart by case alone. */
export const knowsCase = !existsSync('PACKAGE.JSON');
