import { spawnSync } from 'node:child_process';
import { expect, test } from 'vitest';

test('README.md shows the examples as they are', () => {
  const { status, stderr } = spawnSync(process.execPath, ['scripts/readme.mjs', '--check'], { encoding: 'utf8' });
  expect(stderr).toBe('');
  expect(status).toBe(0);
});
