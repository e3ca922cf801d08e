import { readdirSync, statSync } from 'node:fs';
import { join, sep } from 'node:path';
import { expect, test, vi } from 'vitest';

vi.mock('vscode', () => ({}));
const { exampleFiles } = await import('../../client/commands/example.js');

test('all files of the example are copied', () => {
  const files = readdirSync('examples/bracket', { recursive: true, encoding: 'utf8' }).filter(file =>
    statSync(join('examples/bracket', file)).isFile(),
  );
  expect(exampleFiles.toSorted()).toEqual(files.map(file => file.split(sep).join('/')).sort());
});
