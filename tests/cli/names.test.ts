/** Names that Windows does not take: told where they work, refused where they don't. */
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, test } from 'vitest';
import { troubleOnWindows } from '../../server/base/index.js';
import { NodeFiles } from '../../server/cli/node-files.js';
import type { CheckReport } from '../../server/reports/check-report.js';
import { gusset } from '../support/command-line.js';
import { onWindows } from '../support/machine.js';

describe('what Windows says to a path', () => {
  it.each<[string, string | null]>([
    ['data/loads.csv', null],
    ['../a b/.hidden/con-1.csv', null],
    ['auxiliary.csv', null],
    ['com10.csv', null],
    ['CON', '"CON" is the device CON'],
    ['data/aux.csv', '"aux.csv" is the device AUX'],
    ['nul.tar.gz', '"nul.tar.gz" is the device NUL'],
    ['Lpt1 .txt', '"Lpt1 .txt" is the device LPT1'],
    ['prn/loads.csv', '"prn" is the device PRN'],
    ['loads.', 'the dot at the end of "loads." is dropped'],
    ['a /loads.csv', 'the space at the end of "a " is dropped'],
    ['at 12:30.csv', 'no name holds the character ":"'],
    ['what?.csv', 'no name holds the character "?"'],
    ['a"b.csv', "no name holds the character '\"'"],
    ['a\tb.csv', 'no name holds the character "\\t"'],
  ])('%j', (path, trouble) => expect(troubleOnWindows(path)).toBe(trouble));
});

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'gusset-names-'));
  writeFileSync(
    join(folder, 'beam.gus'),
    'project Beam "Beam" { date = 2027-01-01 }\nmaterial M { density = 2 g/cm^3 }\nlot L-1 of M { certificate = file("aux.txt") }\n',
  );
});
afterEach(() => rmSync(folder, { recursive: true }));

test('a cited file is a finding everywhere', () => {
  if (!onWindows) writeFileSync(join(folder, 'aux.txt'), 'Certificate');
  const { printed } = gusset(['check', folder, '--format', 'json']);
  const { diagnostics } = JSON.parse(printed) as CheckReport;
  expect(diagnostics.filter(({ code }) => code === 'file-name')).toMatchObject([
    {
      severity: 'warning',
      message: `aux.txt can't be used on Windows, where "aux.txt" is the device AUX. Give it another name.`,
      range: { start: { line: 2 } },
    },
  ]);
});

test.runIf(onWindows)('a device is not read', async () => {
  const files = (await NodeFiles.open(folder))!;
  expect(await files.readBytes('CON')).toMatchObject({
    message: 'CON is not read: on Windows "CON" is the device CON.',
  });
  expect(await files.exists('nul')).toBe(false);
});

test('a report is told or refused', () => {
  const { code, complaint } = gusset(['check', folder, '--output', 'aux.txt'], { cwd: folder });
  if (onWindows) {
    expect({ code, complaint }).toEqual({
      code: 2,
      complaint: `The report can't be written to aux.txt: on Windows "aux.txt" is the device AUX. Choose another name.\n`,
    });
  } else {
    expect({ code, complaint }).toEqual({
      code: 0,
      complaint: `aux.txt can't be used on Windows, where "aux.txt" is the device AUX.\n`,
    });
    expect(readFileSync(join(folder, 'aux.txt'), 'utf8')).toContain('CHECK REPORT');
  }
});

test('a path of more than 260 characters is read, formatted and written', () => {
  const deep = join(folder, ...Array.from({ length: 6 }, (_, i) => `${i}`.padEnd(50, 'x')));
  mkdirSync(deep, { recursive: true });
  writeFileSync(join(deep, 'panel.gus'), 'let   t=3 mm\n');
  const output = join(deep, 'report.txt');
  expect(output.length).toBeGreaterThan(260);
  expect(gusset(['format', join(deep, 'panel.gus')])).toMatchObject({ code: 0, complaint: '' });
  expect(readFileSync(join(deep, 'panel.gus'), 'utf8')).toBe('let t = 3 mm\n');
  expect(gusset(['check', deep, '--output', output])).toMatchObject({ code: 0, complaint: '' });
  expect(existsSync(output)).toBe(true);
});
