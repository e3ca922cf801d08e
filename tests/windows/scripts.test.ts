/** The scripts do the same whatever separates folders, and however they are started. */
import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { delimiter, join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { version } from '../../package.json';
import { canLink } from '../support/machine.js';

const load = <T>(script: string): Promise<T> => import(pathToFileURL(resolve(script)).href) as Promise<T>;
const { filesUnder } = await load<{ filesUnder: (path: string) => string[] }>('scripts/files.mjs');
const { npmModule } = await load<{ npmModule: (env: Record<string, string>) => string | undefined }>(
  'scripts/programs.mjs',
);

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'gusset-scripts-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

function write(path: string, text: string): string {
  mkdirSync(join(folder, path, '..'), { recursive: true });
  writeFileSync(join(folder, path), text);
  return join(folder, path);
}

test('files are listed with forward slashes, without generated ones', () => {
  const commands = readdirSync('server/cli/commands').map(name => `server/cli/commands/${name}`);
  const files = filesUnder('server/cli');
  expect(files).toEqual(expect.arrayContaining(commands));
  expect(files.filter(file => file.includes('\\') || file.includes('generated'))).toEqual([]);
});

test('npm is the one that started the script, or the one on the path', () => {
  const started = write('started/npm-cli.js', '');
  const beside = write('programs/node_modules/npm/bin/npm-cli.js', '');
  const other = write('other/pnpm.cjs', '');
  const PATH = ['nowhere', 'programs'].map(name => join(folder, name)).join(delimiter);
  expect(npmModule({ npm_execpath: started, PATH })).toBe(started);
  expect(npmModule({ npm_execpath: other, PATH })).toBe(beside);
  expect(npmModule({ PATH })).toBe(beside);
  expect(npmModule({ PATH: join(folder, 'nowhere') })).toBeUndefined();
});

test.runIf(canLink)('a script knows that it was started through a link', () => {
  const files = JSON.stringify(pathToFileURL(resolve('scripts/files.mjs')).href);
  write('real/script.mjs', `import { isStarted } from ${files};\nconsole.log(isStarted(import.meta.filename));\n`);
  symlinkSync('real', join(folder, 'link'), 'dir');
  for (const path of ['real/script.mjs', 'link/script.mjs']) {
    const { stdout } = spawnSync(process.execPath, [join(folder, path)], { encoding: 'utf8' });
    expect(stdout.trim(), path).toBe('true');
  }
  const other = `import ${JSON.stringify(pathToFileURL(join(folder, 'real/script.mjs')).href)}`;
  write('other.mjs', other);
  expect(spawnSync(process.execPath, [join(folder, 'other.mjs')], { encoding: 'utf8' }).stdout.trim()).toBe('false');
});

test('the command line starts by its script', () => {
  const { status, stdout, stderr } = spawnSync(process.execPath, ['scripts/gusset.mjs', '--version'], {
    encoding: 'utf8',
  });
  expect({ status, stdout, stderr }).toEqual({ status: 0, stdout: `${version}\n`, stderr: '' });
});
