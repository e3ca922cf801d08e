import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { expect, test } from 'vitest';

test('npm start shows the lowest margins on two screens, and where to go next', () => {
  const { status, stdout } = spawnSync(process.execPath, ['scripts/start.mjs'], {
    encoding: 'utf8',
    env: { ...process.env, LC_ALL: 'C.UTF-8' },
  });
  expect(status).toBe(0);
  const lines = stdout.trimEnd().split('\n');
  expect(lines.length).toBeLessThanOrEqual(80);
  expect(Math.max(...lines.map(line => line.length))).toBeLessThanOrEqual(120);
  expect(stdout).toMatch(/THM-001 .* -0\.06 +FAILING\n/);
  expect(stdout).toMatch(/\n\(and \d\d more\)\n\nREQUIREMENTS NOT PROVEN/);
  expect(stdout).toMatch(/\n74 requirements: .*\n/);
  const places = stdout.slice(stdout.indexOf('Where to go next')).match(/\S+\.md/g)!;
  expect(places).toContain('docs/tutorial.md');
  expect(places.filter(place => !existsSync(place))).toEqual([]);
});
