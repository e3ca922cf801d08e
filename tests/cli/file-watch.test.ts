/** Where the file system tells nothing, files are looked at, and that is said. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it, vi } from 'vitest';

const watching = vi.hoisted(() => ({ watch: (): unknown => undefined }));
vi.mock('node:fs', async original => ({ ...(await original<object>()), watch: () => watching.watch() }));
const { NodeFiles } = await import('../../server/cli/node-files.js');

let root: string;
beforeEach(() => {
  root = mkdtempSync(join(tmpdir(), 'gusset-watch-'));
  writeFileSync(join(root, 'a.gus'), '');
});
afterEach(() => rmSync(root, { recursive: true }));

it.each([
  [
    'refuses',
    () => {
      throw Object.assign(new Error('no more watches'), { code: 'ENOSPC' });
    },
    "The file system can't tell of changes (ENOSPC), so files are looked at every 2 s.",
  ],
  [
    'says nothing',
    () => ({ on: () => undefined, close: () => undefined }),
    'The file system does not tell of changes, so files are looked at every 2 s.',
  ],
])('a file system that %s', async (_, watch, message) => {
  watching.watch = watch;
  const files = (await NodeFiles.open(root))!;
  await files.readText('a.gus');
  const reports: string[] = [];
  const said: string[] = [];
  const stop = files.watch(
    '',
    paths => reports.push(...paths),
    text => said.push(text),
  );
  // Behind the first look, which nothing has to tell of.
  await new Promise(resolve => setTimeout(resolve, 500));
  for (const text of ['let a = 1', 'let a = 12']) {
    reports.length = 0;
    writeFileSync(join(root, 'b.gus'), text);
    await expect.poll(() => reports, { timeout: 20_000 }).toEqual(['b.gus']);
  }
  await expect.poll(() => said, { timeout: 20_000 }).toEqual([message]);
  stop();
});
