/** The files that are named are brought into the one layout, by whatever way their path is written, and no others. */
import { mkdirSync, mkdtempSync, readFileSync, realpathSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, dirname, join, sep } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { gusset } from '../support/command-line.js';
import { canLink, onWindows } from '../support/machine.js';

const LOOSE = 'let   thickness=3 mm\n';
const TIDY = 'let thickness = 3 mm\n';
const SOURCES = ['am.gus', 'beam.gus', 'm.gus', 'panels/beam.gus', 'panels/m.gus'];

let folder: string;
beforeEach(() => {
  folder = realpathSync(mkdtempSync(join(tmpdir(), 'gusset-format-')));
  for (const path of SOURCES) write(path, LOOSE);
});
afterEach(() => rmSync(folder, { recursive: true }));

function write(path: string, text: string): void {
  mkdirSync(dirname(join(folder, path)), { recursive: true });
  writeFileSync(join(folder, path), text);
}

/** The files that are in the one layout. */
function tidied(paths: readonly string[] = SOURCES): string[] {
  return paths.filter(path => readFileSync(join(folder, path), 'utf8') === TIDY);
}

function format(...args: readonly string[]) {
  return gusset(['format', ...args], { cwd: folder });
}

describe('a file alone', () => {
  test.each<[string, () => string]>([
    ['by its name', () => 'm.gus'],
    ['from here', () => './m.gus'],
    ['by a detour', () => 'panels/../m.gus'],
    ['through the folder above', () => `../${basename(folder)}/m.gus`],
    ['with slashes too many', () => './/panels/..///m.gus'],
    ['absolute', () => join(folder, 'm.gus')],
    ...(onWindows
      ? ([
          ['with backslashes', () => 'panels\\..\\m.gus'],
          ['absolute with slashes', () => join(folder, 'm.gus').replaceAll(sep, '/')],
          ['in other letters', () => 'M.GUS'],
        ] as [string, () => string][])
      : []),
  ])('%s', (_, path) => {
    expect(format(path())).toEqual({ code: 0, printed: 'formatted m.gus\n', complaint: '' });
    expect(tidied()).toEqual(['m.gus']);
  });

  test('in a folder below, and from there one above', () => {
    expect(format('panels/m.gus').printed).toBe('formatted m.gus\n');
    expect(tidied()).toEqual(['panels/m.gus']);
    expect(gusset(['format', '../beam.gus'], { cwd: join(folder, 'panels') }).printed).toBe('formatted beam.gus\n');
    expect(tidied()).toEqual(['beam.gus', 'panels/m.gus']);
  });

  test('named from the root of its repository', () => {
    mkdirSync(join(folder, '.git'));
    expect(format('panels/m.gus').printed).toBe('formatted panels/m.gus\n');
    expect(tidied()).toEqual(['panels/m.gus']);
  });

  test('that is hidden or lies in a folder that is passed over', () => {
    const hidden = ['.draft/m.gus', 'node_modules/m.gus'];
    for (const path of hidden) write(path, LOOSE);
    expect(format('.').code).toBe(0);
    expect(tidied([...SOURCES, ...hidden])).toEqual(SOURCES);
    for (const path of hidden) expect(format(path).code).toBe(0);
    expect(tidied(hidden)).toEqual(hidden);
  });
});

test('several files and folders, each file once', () => {
  expect(format('m.gus', 'panels', './m.gus', 'panels/m.gus')).toEqual({
    code: 0,
    printed: 'formatted m.gus\nformatted beam.gus\nformatted m.gus\n',
    complaint: '',
  });
  expect(tidied()).toEqual(['m.gus', 'panels/beam.gus', 'panels/m.gus']);
});

test('nothing is written where one of the paths leads to no source', () => {
  write('notes.md', '');
  mkdirSync(join(folder, 'empty'));
  for (const [path, complaint] of [
    ['gone.gus', 'gone.gus does not exist.\n'],
    ['notes.md', 'notes.md is no .gus file.\n'],
    ['empty', 'empty holds no .gus file.\n'],
  ] as const)
    expect(format('m.gus', path)).toEqual({ code: 2, printed: '', complaint });
  expect(tidied()).toEqual([]);
});

describe.runIf(canLink)('links', () => {
  test('a link is formatted where it leads to, and stays one', () => {
    symlinkSync('beam.gus', join(folder, 'link.gus'));
    expect(format('link.gus').printed).toBe('formatted link.gus\n');
    expect(tidied()).toEqual(['beam.gus']);
    expect(realpathSync(join(folder, 'link.gus'))).toBe(join(folder, 'beam.gus'));
    expect(format('link.gus', 'beam.gus').printed).toBe('');
  });

  test('a link and its file are one file', () => {
    symlinkSync('beam.gus', join(folder, 'link.gus'));
    expect(format('beam.gus', 'link.gus').printed).toBe('formatted beam.gus\n');
  });

  test('a folder through a link', () => {
    symlinkSync('panels', join(folder, 'linked'), 'dir');
    expect(format('linked/m.gus').code).toBe(0);
    expect(tidied()).toEqual(['panels/m.gus']);
  });

  test('a link out of the workspace changes nothing there', () => {
    mkdirSync(join(folder, 'panels/.git'));
    symlinkSync('../m.gus', join(folder, 'panels/out.gus'));
    const { code, printed, complaint } = format('panels/out.gus');
    expect({ code, printed }).toEqual({ code: 2, printed: '' });
    expect(complaint).toMatch(/^out\.gus lies outside the workspace .* and is not read\.\n$/);
    expect(tidied()).toEqual([]);
  });
});

describe('--check', () => {
  test('lists what would change, writes nothing and exits with 1', () => {
    expect(format('--check', 'm.gus', 'panels')).toEqual({
      code: 1,
      printed: 'would change m.gus\nwould change beam.gus\nwould change m.gus\n',
      complaint: '',
    });
    expect(tidied()).toEqual([]);
  });

  test('exits with 0 where nothing would', () => {
    expect(format('.').code).toBe(0);
    expect(format('--check', '.')).toEqual({ code: 0, printed: '', complaint: '' });
  });

  test('exits with 2 where a file cannot be read, whatever would change', () => {
    writeFileSync(join(folder, 'beam.gus'), Uint8Array.of(0x2f, 0x2f, 0xb1, 10));
    const { code, printed } = format('--check', 'beam.gus', 'm.gus');
    expect({ code, printed }).toEqual({ code: 2, printed: 'would change m.gus\n' });
  });
});
