/** What is shipped comes with the licences of all that it holds. */
import { existsSync, globSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';

const NOTICES = 'out/THIRD-PARTY-NOTICES.txt';

test('each package that a bundle was made from is named with its licence', () => {
  const sources = globSync('out/{,chunks/}*.map').flatMap(
    map => (JSON.parse(readFileSync(map, 'utf8')) as { sources: string[] }).sources,
  );
  const named = sources.flatMap(source => /^.*node_modules\/((?:@[^/]+\/)?[^/]+)/.exec(source)?.[1] ?? []);
  // A package that was itself bundled names what it was made from, which isn't installed.
  const packages = [...new Set(named)].filter(name => existsSync(join('node_modules', name)));
  const entries = readFileSync(NOTICES, 'utf8')
    .split(`\n${'-'.repeat(80)}\n\n`)
    .slice(1);
  expect(packages.length).toBeGreaterThan(10);
  expect(entries.map(entry => entry.split(' ')[0])).toEqual(expect.arrayContaining(packages));
  for (const entry of entries)
    expect(entry).toMatch(/^\S+ \d\S* \(\S+\)\n\n[^]*(?:permission|permitted|terms and conditions)/i);
});

test('they go into the package of the extension', () => {
  expect(readFileSync('.vscodeignore', 'utf8')).toContain(`!${NOTICES}`);
});
