import { readdirSync, readFileSync, statSync } from 'node:fs';
import { join, relative, sep } from 'node:path';
import { expect, test } from 'vitest';
import { findingsOf, type Files } from './project.js';

function filesOf(folder: string): Files {
  const files: Record<string, string> = {};
  const visit = (path: string): void => {
    for (const name of readdirSync(path)) {
      const child = join(path, name);
      if (statSync(child).isDirectory()) visit(child);
      else files[relative(folder, child).replaceAll(sep, '/')] = readFileSync(child, 'utf8');
    }
  };
  visit(folder);
  return files;
}

const loud = (folder: string): string[] =>
  findingsOf(filesOf(folder))
    .filter(finding => finding.severity === 'error' || finding.severity === 'warning')
    .map(finding => `${finding.code} ${/^\S+/.exec(finding.message)![0]}`);

test('the small example is clean', () => {
  expect(loud('examples/bracket')).toEqual([]);
});

test('the large example shows what is wrong in it on purpose, and nothing else', () => {
  expect([...new Set(loud('examples/cordgrass'))].sort()).toEqual([
    'failing-margin THM-001',
    'thin-margin STR-013',
    'undetermined PAY-004',
  ]);
});
