import { execFileSync } from 'node:child_process';
import {
  chmodSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  readdirSync,
  renameSync,
  rmSync,
  statSync,
  symlinkSync,
  truncateSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { NodeFiles, writeText } from '../../server/cli/node-files.js';
import { canLink, hasPipeFiles, onWindows } from '../support/machine.js';

let outer: string;
let root: string;
let files: NodeFiles;

const write = (path: string, content: string | Uint8Array) => {
  mkdirSync(dirname(join(root, path)), { recursive: true });
  writeFileSync(join(root, path), content);
};

beforeEach(async () => {
  outer = mkdtempSync(join(tmpdir(), 'gusset-'));
  root = join(outer, 'workspace');
  mkdirSync(root);
  files = (await NodeFiles.open(root))!;
});

afterEach(() => rmSync(outer, { recursive: true }));

describe('the list of sources', () => {
  it('holds .gus files below the folder, sorted, and passes over hidden folders and node_modules', async () => {
    for (const path of [
      'b.gus',
      'parts/a.gus',
      'notes.md',
      '.git/x.gus',
      'node_modules/x.gus',
      'parts/node_modules/x.gus',
    ])
      write(path, '');
    expect(await files.sources()).toEqual({ paths: ['b.gus', 'parts/a.gus'], problems: [] });
    expect((await files.sources('parts')).paths).toEqual(['parts/a.gus']);
  });

  it.runIf(canLink)('tells which linked folder it passes over', async () => {
    mkdirSync(join(root, 'real'));
    symlinkSync(join(root, 'real'), join(root, 'linked'));
    expect((await files.sources()).problems).toEqual([
      {
        path: 'linked',
        line: null,
        message: 'linked links to a folder and is not followed. Bring the folder in with `use`.',
      },
    ]);
  });

  it('tells that a folder does not exist', async () => {
    expect((await files.sources('nowhere')).problems.map(problem => problem.message)).toEqual([
      'nowhere does not exist.',
    ]);
  });
});

describe('reading', () => {
  it('hands back text without a byte order mark', async () => {
    write('a.gus', '\ufeffpart Bus {}\r\n');
    expect(await files.readText('a.gus')).toEqual({ path: 'a.gus', text: 'part Bus {}\r\n' });
  });

  it.each<[string, string | Uint8Array, number | null, string]>([
    [
      'Latin-1',
      Uint8Array.of(0x2f, 0x2f, 10, 0xb1),
      2,
      'a.gus is not UTF-8: byte 0xb1 in line 2 would be "±" in Latin-1. Save the file as UTF-8.',
    ],
    ['UTF-16', Uint8Array.of(0xfe, 0xff, 0, 0x78), null, 'a.gus is written in UTF-16. Save it as UTF-8.'],
    ['zero bytes', Uint8Array.of(0x78, 10, 0, 10), 2, 'a.gus is no text: line 2 holds a zero byte.'],
  ])('tells %s', async (_, content, line, message) => {
    write('a.gus', content);
    expect(await files.readText('a.gus')).toEqual({ path: 'a.gus', line, message });
  });

  it('tells what is missing, a folder, or too large', async () => {
    write('folder/a.csv', '');
    write('large.gus', '');
    truncateSync(join(root, 'large.gus'), 2 ** 25);
    expect(await files.readText('gone.gus')).toMatchObject({ message: 'gone.gus does not exist.' });
    expect(await files.readBytes('folder')).toMatchObject({ message: 'folder is no file.' });
    expect(await files.readText('large.gus')).toMatchObject({
      message: 'large.gus has 32 MiB, more than the 16 MiB allowed. Split it.',
    });
  });

  it.runIf(hasPipeFiles)('does not wait on a pipe', async () => {
    execFileSync('mkfifo', [join(root, 'pipe.gus')]);
    expect(await files.readText('pipe.gus')).toMatchObject({ message: 'pipe.gus is no file.' });
  });

  it.each([
    '../secret.csv',
    '/etc/hostname',
    'parts/../../secret.csv',
    ...(canLink ? ['link.csv', 'out/secret.csv'] : []),
    ...(onWindows ? ['..\\secret.csv', 'C:\\Windows\\win.ini', '\\\\?\\C:\\Windows\\win.ini'] : []),
  ])('never leaves the workspace by %s', async path => {
    writeFileSync(join(outer, 'secret.csv'), '1');
    if (canLink) {
      symlinkSync(join(outer, 'secret.csv'), join(root, 'link.csv'));
      symlinkSync(outer, join(root, 'out'));
    }
    expect(await files.readBytes(path)).toEqual({
      path,
      line: null,
      message: `${path} lies outside the workspace ${files.root} and is not read.`,
    });
  });

  it.runIf(canLink)('follows a link that stays inside', async () => {
    write('data/a.csv', 'x\n');
    symlinkSync(join(root, 'data/a.csv'), join(root, 'b.csv'));
    expect(await files.readBytes('b.csv')).toMatchObject({ path: 'b.csv' });
    expect(await files.readBytes('data/../data/a.csv')).toMatchObject({ path: 'data/a.csv' });
    expect(await files.readBytes('..data.csv')).toMatchObject({ message: '..data.csv does not exist.' });
  });
});

describe('writing', () => {
  it('replaces the content, keeps the mode and leaves nothing beside it', async () => {
    write('report.txt', 'old');
    if (!onWindows) chmodSync(join(root, 'report.txt'), 0o640);
    await writeText(join(root, 'report.txt'), 'new');
    expect(readFileSync(join(root, 'report.txt'), 'utf8')).toBe('new');
    if (!onWindows) expect(statSync(join(root, 'report.txt')).mode & 0o777).toBe(0o640);
    expect(readdirSync(root)).toEqual(['report.txt']);
  });

  it.runIf(canLink)('writes through a link', async () => {
    write('real.txt', 'old');
    symlinkSync(join(root, 'real.txt'), join(root, 'link.txt'));
    await writeText(join(root, 'link.txt'), 'new');
    expect(readFileSync(join(root, 'real.txt'), 'utf8')).toBe('new');
    expect(readdirSync(root).sort()).toEqual(['link.txt', 'real.txt']);
  });

  it('leaves nothing behind where it cannot write', async () => {
    mkdirSync(join(root, 'folder'));
    await expect(writeText(join(root, 'folder'), 'new')).rejects.toThrow();
    await expect(writeText(join(root, 'nowhere/report.txt'), 'new')).rejects.toThrow();
    expect(readdirSync(root)).toEqual(['folder']);
  });
});

describe('watching', () => {
  const reports: string[] = [];
  const said: string[] = [];
  let stop: () => void;
  const begin = (): void => {
    reports.length = said.length = 0;
    stop = files.watch(
      'craft',
      paths => reports.push(...paths),
      message => said.push(message),
    );
  };
  const expectReports = (...paths: string[]) => expect.poll(() => reports, { timeout: 20_000 }).toEqual(paths);

  beforeEach(async () => {
    write('craft/a.gus', '');
    write('house/h.gus', '');
    write('data/loads.xlsx', '1');
    await files.library('craft');
    await files.library('house');
    await files.readBytes('data/loads.xlsx');
    await files.exists('data/later.pdf');
  });
  afterEach(() => stop());

  it('reports a burst of changes once, and nothing of hidden folders', async () => {
    begin();
    write('craft/a.gus', '1');
    write('craft/b.gus', '2');
    write('craft/.git/index', '3');
    write('craft/notes.txt', '4');
    await expectReports('craft/a.gus', 'craft/b.gus');
  });

  it.each<readonly [string, () => void, readonly string[]]>([
    [
      'a save by renaming',
      () => {
        write('craft/.a.gus.tmp', 'saved');
        renameSync(join(root, 'craft/.a.gus.tmp'), join(root, 'craft/a.gus'));
      },
      ['craft/a.gus'],
    ],
    ['a source that is deleted', () => rmSync(join(root, 'craft/a.gus')), ['craft/a.gus']],
    ['a folder that appears', () => write('craft/new/deep/c.gus', ''), ['craft/new/deep/c.gus']],
    ['a source of a library', () => write('house/h.gus', 'let a = 1'), ['house/h.gus']],
    ['a library that goes', () => rmSync(join(root, 'house'), { recursive: true }), ['house/h.gus']],
    ['data of any extension', () => write('data/loads.xlsx', '2'), ['data/loads.xlsx']],
    ['a cited file that comes', () => write('data/later.pdf', 'x'), ['data/later.pdf']],
    [
      'a folder of data that is renamed',
      () => renameSync(join(root, 'data'), join(root, 'data-old')),
      ['data/loads.xlsx'],
    ],
    ['what changed before it began', () => undefined, ['craft/a.gus']],
  ])('reports %s', async (name, change, paths) => {
    if (name.startsWith('what')) write('craft/a.gus', 'changed');
    begin();
    await new Promise(resolve => setTimeout(resolve, 50));
    change();
    await expectReports(...paths);
    expect(said).toEqual([]);
  });
});
