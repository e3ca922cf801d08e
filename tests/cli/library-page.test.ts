/** The how-to of libraries, as somebody who follows it: its files are written, its commands run, its lines printed. */
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterAll, beforeAll, expect, test, vi } from 'vitest';
import check from '../../server/cli/commands/check.js';
import { runProgram } from '../../server/cli/program.js';

const page = readFileSync('docs/library.md', 'utf8');
const fences = [...page.matchAll(/^```(gusset|sh|text) ?(\S*)\n([\s\S]*?)^```$/gm)].map(([, language, file, text]) => ({
  language,
  file: file!,
  text: text!,
}));

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'gusset-page-'));
  mkdirSync(join(folder, '.git'));
});
afterAll(() => {
  process.exitCode = undefined;
  rmSync(folder, { recursive: true });
});

async function run(command: string): Promise<string> {
  const [program, name, path, ...options] = command.trim().split(/\s+/);
  expect([program, name]).toEqual(['gusset', 'check']);
  let printed = '';
  vi.spyOn(process.stdout, 'write').mockImplementation(text => {
    printed += text;
    return true;
  });
  vi.spyOn(process.stderr, 'write').mockReturnValue(true);
  const paths = options.map(option => (option === '.' ? folder : option));
  await runProgram([check], ['check', join(folder, path!), '--width', '400', ...paths]);
  vi.restoreAllMocks();
  return printed;
}

test('every command prints what the page says', async () => {
  let printed = '';
  for (const { language, file, text } of fences) {
    if (language === 'gusset') {
      mkdirSync(dirname(join(folder, file)), { recursive: true });
      writeFileSync(join(folder, file), text);
    } else if (language === 'sh') printed = (await run(text)).replace(/ +/g, ' ');
    else for (const line of text.trim().split('\n')) expect(printed).toContain(line.replace(/ +/g, ' '));
  }
  expect(fences.filter(({ language }) => language === 'sh')).toHaveLength(4);
});
