/** Where what is written goes: through what isn't a regular file, whole or not at all, and never silently lost. */
import { spawn, spawnSync } from 'node:child_process';
import {
  chmodSync,
  closeSync,
  existsSync,
  lstatSync,
  mkdirSync,
  mkdtempSync,
  openSync,
  readdirSync,
  readFileSync,
  readlinkSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { gusset } from '../support/command-line.js';
import { canLink, hasPipeFiles, onWindows } from '../support/machine.js';

const LOOSE = 'project   Good "Good" { date = 2027-01-01 }\nlet a=1 mm\n';
const ONE_SENTENCE = /^[^\n]+\.\n$/;

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'gusset-output-'));
  writeFileSync(join(folder, 'good.gus'), LOOSE);
});
afterEach(() => rmSync(folder, { recursive: true }));

/** Runs with standard output closed by its reader before a byte of it is taken. */
async function intoClosedPipe(args: readonly string[]) {
  const child = spawn(process.execPath, ['out/cli.mjs', ...args], { stdio: ['ignore', 'pipe', 'pipe'] });
  child.stdout.destroy();
  let complaint = '';
  child.stderr.on('data', piece => (complaint += piece));
  const code = await new Promise(resolve => child.once('close', resolve));
  return { code, complaint };
}

test.runIf(canLink)('a report replaces a file whole, and keeps its mode and the link to it', () => {
  const [real, link] = [join(folder, 'real.txt'), join(folder, 'link.txt')];
  writeFileSync(real, 'old');
  chmodSync(real, 0o640);
  symlinkSync('real.txt', link);
  expect(gusset(['check', folder, '--output', link])).toEqual({ code: 0, printed: '', complaint: '' });
  expect(readFileSync(real, 'utf8')).toContain('CHECK REPORT');
  expect(statSync(real).mode & 0o777).toBe(0o640);
  expect(readlinkSync(link)).toBe('real.txt');
  expect(readdirSync(folder).sort()).toEqual(['good.gus', 'link.txt', 'real.txt']);
});

test.runIf(canLink)('a link to a file that is not there yet stays one', () => {
  const link = join(folder, 'link.txt');
  symlinkSync('later.txt', link);
  expect(gusset(['check', folder, '--output', link]).code).toBe(0);
  expect(lstatSync(link).isSymbolicLink()).toBe(true);
  expect(readFileSync(join(folder, 'later.txt'), 'utf8')).toContain('CHECK REPORT');
});

test.runIf(hasPipeFiles)('a pipe is written to and stays a pipe', async () => {
  const pipe = join(folder, 'pipe');
  spawnSync('mkfifo', [pipe]);
  const reader = spawn('cat', [pipe]);
  let read = '';
  reader.stdout.on('data', piece => (read += piece));
  const done = new Promise(resolve => reader.once('close', resolve));
  expect(gusset(['check', folder, '--output', pipe]).code).toBe(0);
  await done;
  expect(read).toContain('CHECK REPORT');
  expect(statSync(pipe).isFIFO()).toBe(true);
});

test.skipIf(onWindows)('a device is written to and stays a device', () => {
  expect(gusset(['check', folder, '--output', '/dev/null'])).toEqual({ code: 0, printed: '', complaint: '' });
  expect(statSync('/dev/null').isCharacterDevice()).toBe(true);
});

test.skipIf(!existsSync('/dev/full'))('a full disk is told in one sentence', () => {
  const told = gusset(['check', folder, '--output', '/dev/full']);
  expect(told.code).toBe(2);
  expect(told.complaint).toBe('The report is not written: /dev/full does not fit: the disk is full.\n');
  expect(statSync('/dev/full').isCharacterDevice()).toBe(true);
  const full = openSync('/dev/full', 'w');
  for (const args of [
    ['check', folder],
    ['check', folder, '--format', 'json'],
    ['explain'],
    ['--help'],
    ['--version'],
  ]) {
    const { code, complaint } = gusset(args, { stdout: full });
    expect(code, args.join(' ')).toBe(2);
    expect(complaint).toBe('The output is cut off: standard output does not fit: the disk is full.\n');
  }
  closeSync(full);
});

test('a pipe that its reader closed is told in one sentence', async () => {
  const { code, complaint } = await intoClosedPipe(['check', 'examples/cordgrass', '--format', 'json']);
  expect(code).toBe(2);
  expect(complaint).toMatch(ONE_SENTENCE);
  expect(complaint).toContain('closed by its reader');
});

test.skipIf(onWindows)('what could not be formatted is not called so', () => {
  const path = join(folder, 'good.gus');
  const target = join(folder, 'sub');
  mkdirSync(target);
  writeFileSync(join(target, 'latin.gus'), Buffer.from([0x2f, 0x2f, 0xb1, 10]));
  const unreadable = gusset(['format', target]);
  expect(unreadable).toMatchObject({ code: 2, printed: '' });
  expect(unreadable.complaint).toMatch(ONE_SENTENCE);
  // A file system without room: what is limited here is the size of a file.
  const { status, stdout, stderr } = spawnSync(
    'bash',
    ['-c', `ulimit -f 0; trap '' XFSZ; exec ${process.execPath} out/cli.mjs format ${path}`],
    {
      encoding: 'utf8',
      env: { ...process.env, NODE_DISABLE_COMPILE_CACHE: '1' },
    },
  );
  expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
  expect(stderr).toMatch(/^The file is not formatted: .*\.\n$/);
  expect(readFileSync(path, 'utf8')).toBe(LOOSE);
  expect(readdirSync(folder).sort()).toEqual(['good.gus', 'sub']);
  expect(gusset(['format', path])).toMatchObject({ code: 0, printed: 'formatted good.gus\n' });
});

test.skipIf(onWindows)('names of files and labels do not steer the terminal', () => {
  const hostile = '\x1b]0;owned\x07\u202e\u009b31m';
  writeFileSync(join(folder, `${hostile}.gus`), `part   A "t${hostile}" { t = 3 mm + 2 kg }\nlet b = nowhere\n`);
  for (const format of ['text', 'github', 'json', 'sarif', 'junit']) {
    const { printed, complaint } = gusset(['check', folder, '--format', format]);
    expect(printed + complaint, format).not.toMatch(/[\x00-\x09\x0b-\x1f\x7f-\x9f]/);
    if (format === 'text') expect(printed).not.toContain('\u202e');
  }
  // What can't be read is not formatted.
  writeFileSync(join(folder, `${hostile}.gus`), 'let   b = 1\n');
  const { printed } = gusset(['format', '--check', folder]);
  expect(printed).toContain('␛]0;owned␇\\u{202e}\\u{9b}31m.gus');
});
