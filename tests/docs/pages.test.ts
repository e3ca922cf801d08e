/** Tutorial and how-tos: their files are written, their commands run, their outputs printed. */
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { hasGit } from '../support/machine.js';
import { follow } from '../support/pages.js';

const howTos = readdirSync('docs/how-to').filter(name => name !== 'README.md');
const pages = ['docs/tutorial.md', 'docs/library.md', ...howTos.map(name => `docs/how-to/${name}`)].map(path => ({
  path,
  text: readFileSync(path, 'utf8'),
}));

let around: string;
let folder: string;
beforeEach(() => {
  around = mkdtempSync(join(tmpdir(), 'gusset-page-'));
  folder = join(around, 'page');
});
afterEach(() => rmSync(around, { recursive: true }));

describe('each page does what it says', () => {
  test.for(pages)('$path', ({ text }, { skip }) => {
    if (/^git /m.test(text) && !hasGit) skip('There is no git here.');
    expect(text).toMatch(/^```sh$/m);
    follow(text, folder);
  });
});

describe('a page fails', () => {
  const block = (head: string, text: string) => `\`a.gus\`, \`b.txt\`:\n\n\`\`\`${head}\n${text}\n\`\`\`\n\n`;
  const project = block('gusset a.gus', 'project P "P" { revision = "A"   date = 2027-06-01 }');
  const check = block('sh', 'gusset check');
  test.each([
    ['with a block of another kind', block('python', 'print()'), /line 3: there is no block of the kind "python"/],
    ['with a block of no kind', block('', 'gusset check'), /no block of the kind ""/],
    ['with a file that has no name', block('gusset', 'part P {}'), /names no file/],
    ['with a file that its text does not name', block('gusset c.gus', 'part P {}'), /does not name `c.gus`/],
    ['with another program', block('sh', 'rm a.gus'), /rm is neither gusset nor git/],
    ['with a command that can not be run', block('sh', 'gusset check nowhere'), /nowhere does not exist/],
    ['with an output that is not printed', project + check + block('text', 'Revision B'), /"Revision B" is not printed/],
    ['with an output in another order', project + check + block('text', 'Revision A\nProject P'), /"Project P" is not/],
    ['with an output of nothing', project + block('text', 'Revision A'), /there is no command above/],
    ['with a command whose output is not shown', project + check + check, /above print is not shown/],
    ['with a last command whose output is not shown', project + check, /last commands print is not shown/],
    ['with a change of what is not there', project + block('diff a.gus', '-part P {}\n+part Q {}'), /stands 0 times/],
    [
      'with a change of what is there twice',
      block('text b.txt', 'one\none') + block('diff b.txt', '-one\n+two'),
      /stands 2 times/,
    ],
    ['with a file in another layout', block('gusset a.gus', 'part P{}'), /not formatted: .*a\.gus/],
  ])('%s', (_, page, message) => {
    expect(() => follow(page, folder)).toThrow(message);
  });

  test('not with what is right', () => {
    const edited = block('diff a.gus', '-project P "P" { revision = "A"   date = 2027-06-01 }\n+project Q "Q" { revision = "B"   date = 2027-06-01 }');
    follow(project + check + block('text', 'Project P\n…\nRevision A') + edited, folder);
    expect(readFileSync(join(folder, 'a.gus'), 'utf8')).toBe('project Q "Q" { revision = "B"   date = 2027-06-01 }\n');
  });
});
