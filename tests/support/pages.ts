/**
 * Follows a page of the documentation as its reader would: in an empty folder, from top to bottom.
 *
 * For who writes one, these are the blocks between fences:
 *
 * - `gusset FILE`, `csv FILE`, `text FILE`: the whole file. The paragraph above names it, as readers see no fence.
 * - `diff FILE`: a change in the middle of a file: lines with `-` go, with `+` come, others stay. What goes and what
 *   stays has to stand in the file once, as it stands here.
 * - `sh`: commands of `gusset` and `git`, one a line.
 * - `text`: below `sh`, what they print: each line somewhere in a line of it, in this order, whatever the spaces; `…`
 *   for what is left out.
 *
 * There are no other blocks. At the end every `.gus` file is in the layout that `gusset format` gives.
 */
import { spawnSync } from 'node:child_process';
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { gusset } from './command-line.js';

interface Block {
  readonly kind: string;
  readonly file: string | undefined;
  readonly text: string;
  /** What stands above it. */
  readonly paragraph: string;
  readonly line: number;
}

export function follow(page: string, folder: string): void {
  mkdirSync(join(folder, '.git'), { recursive: true });
  let printed = '';
  let before = '';
  for (const block of blocksOf(page)) {
    const role = block.kind === 'text' && block.file === undefined ? 'output' : block.kind;
    try {
      if (before === 'sh' && role !== 'output') throw new Error('what the commands above print is not shown');
      if (role === 'output') {
        if (before !== 'sh') throw new Error('there is no command above');
        expectOutput(printed, block.text);
      } else if (role === 'sh') printed = runAll(block.text, folder);
      else perform(block, folder);
    } catch (error) {
      (error as Error).message = `line ${block.line}: ${(error as Error).message}`;
      throw error;
    }
    before = role;
  }
  if (before === 'sh') throw new Error('what the last commands print is not shown');
  expectLayout(folder);
}

function blocksOf(page: string): Block[] {
  return [...page.matchAll(/^```(.*)\n([\s\S]*?)^```$/gm)].map(({ 1: head, 2: text, index }) => {
    const above = page.slice(0, index).trimEnd();
    const [kind, file] = head!.split(' ');
    return {
      kind: kind!,
      file,
      text: text!,
      paragraph: above.slice(above.lastIndexOf('\n\n') + 1),
      line: page.slice(0, index).split('\n').length,
    };
  });
}

function perform({ kind, file, text, paragraph }: Block, folder: string): void {
  if (!['gusset', 'csv', 'text', 'diff'].includes(kind)) throw new Error(`there is no block of the kind "${kind}"`);
  if (file === undefined) throw new Error(`the ${kind} block names no file`);
  if (!paragraph.includes(`\`${file}\``)) throw new Error(`the paragraph above does not name \`${file}\``);
  const path = join(folder, file);
  mkdirSync(dirname(path), { recursive: true });
  writeFileSync(path, kind === 'diff' ? changed(readFileSync(path, 'utf8'), text) : text);
}

function changed(text: string, change: string): string {
  const lines = change.trimEnd().split('\n');
  const without = (sign: string) =>
    lines
      .filter(line => !line.startsWith(sign))
      .map(line => `${line.slice(1)}\n`)
      .join('');
  const parts = text.split(without('+'));
  if (parts.length !== 2) throw new Error(`what changes stands ${parts.length - 1} times in the file`);
  return parts.join(without('-'));
}

function runAll(commands: string, folder: string): string {
  return commands
    .trim()
    .split('\n')
    .map(command => run(command, folder))
    .join('');
}

function run(command: string, folder: string): string {
  const [program, ...args] = command.match(/"[^"]*"|\S+/g)!.map(word => word.replaceAll('"', ''));
  if (program === 'gusset') {
    const { code, printed, complaint } = gusset(args, { cwd: folder, env: { LC_ALL: 'C.UTF-8' } });
    if (code !== 0 && code !== 1) throw new Error(`${command}: ${complaint}`);
    return printed + complaint;
  }
  if (program !== 'git') throw new Error(`${program} is neither gusset nor git`);
  const { status, stdout, stderr } = spawnSync('git', args, { cwd: folder, encoding: 'utf8', env: asSomebody });
  // 1 says that there are differences.
  if (status !== 0 && status !== 1) throw new Error(`${command}: ${stderr}`);
  return stdout;
}

/** Git wants a name for a commit, and the machine's own settings are none of a page's business. */
const asSomebody: NodeJS.ProcessEnv = {
  ...process.env,
  GIT_CONFIG_GLOBAL: '/dev/null',
  GIT_CONFIG_SYSTEM: '/dev/null',
  GIT_AUTHOR_NAME: 'Reader',
  GIT_AUTHOR_EMAIL: 'reader@example.invalid',
  GIT_COMMITTER_NAME: 'Reader',
  GIT_COMMITTER_EMAIL: 'reader@example.invalid',
};

function expectOutput(printed: string, expected: string): void {
  const lines = linesOf(printed);
  let next = 0;
  for (const line of linesOf(expected)) {
    if (line === '…') continue;
    const found = lines.findIndex((each, index) => index >= next && each.includes(line));
    if (found < 0) throw new Error(`"${line}" is not printed, or not there:\n${printed}`);
    next = found + 1;
  }
}

function linesOf(text: string): string[] {
  return text
    .split('\n')
    .map(line => line.replace(/\s+/g, ' ').trim())
    .filter(line => line !== '');
}

function expectLayout(folder: string): void {
  const files = readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter(file => file.endsWith('.gus'));
  if (files.length === 0) return;
  const { code, printed } = gusset(['format', '--check', ...files], { cwd: folder });
  if (code !== 0) throw new Error(`these files are not formatted: ${printed}`);
}
