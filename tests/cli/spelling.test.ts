/** Paths that differ from their files by case or by composed accents: read on all systems, and told. */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { evaluate } from '../../server/cli/evaluate.js';
import { openWorkspace } from '../../server/cli/workspace.js';
import { knowsCase } from '../support/machine.js';

let root: string;
beforeEach(() => {
  root = mkdtempSync(join(tmpdir(), 'gusset-spelling-'));
});
afterEach(() => rmSync(root, { recursive: true }));

function write(path: string, text: string): void {
  mkdirSync(dirname(join(root, path)), { recursive: true });
  writeFileSync(join(root, path), text);
}

/** Statuses, and findings about spelling or missing files as messages. */
async function checked(): Promise<{ statuses: string[]; told: string[] }> {
  const { requirements, diagnostics } = await evaluate(await openWorkspace(join(root, 'craft'), root), {
    asOf: undefined,
    day: { date: '2027-06-01', origin: { from: 'today', text: 'today' }, isDoubtful: false },
    configurations: undefined,
    values: [],
    rows: false,
  });
  return {
    statuses: requirements.map(({ status }) => status),
    told: diagnostics
      .filter(({ code }) => /^(file-spelling|missing-file|library-missing|data-file)$/.test(code))
      .map(({ severity, message }) => `${severity}: ${message.replace(/ where it lies.*/, '')}`),
  };
}

const project = (library: string, data: string, certificate: string): string => `use "${library}" as House
project Craft { revision = "A"   date = 2027-06-01 }
table Loads = file("${data}") { force as N "F [N]" }
material Own { density = 2 g/cm^3 }
lot L-1 of Own { certificate = file("${certificate}")   received = 2027-01-01 }
requirement CRF-1 "It shall hold." { check max(for r in Loads: r.force) <= House.capacity   verify by analysis }
`;

const composed = 'st\u00fcck';
const apart = 'stu\u0308ck';

test.each([
  ['as they are', '../house', 'data/loads.csv', `../certs/${apart}.pdf`, []],
  [
    'otherwise',
    '../House',
    'Data/LOADS.csv',
    `../certs/${composed}.pdf`,
    [
      'warning: "../House" is spelt ../house',
      'warning: "Data/LOADS.csv" is spelt data/loads.csv',
      `warning: "../certs/${composed}.pdf" is spelt ../certs/${apart}.pdf`,
    ],
  ],
  [
    'as nothing there is',
    '../hause',
    'data/load.csv',
    '../certs/stuck.pdf',
    [
      'error: use "../hause" brings nothing in: there is no hause.',
      'error: data/load.csv: craft/data/load.csv does not exist.',
      'warning: L-1 cites ../certs/stuck.pdf, and there is no such file in the project.',
    ],
  ],
])('paths that are spelt %s', async (_, library, data, certificate, told) => {
  write('house/house.gus', 'let capacity = 1 kN\n');
  write('craft/data/loads.csv', 'F [N]\n900\n');
  write(`certs/${apart}.pdf`, 'certificate');
  write('craft/project.gus', project(library, data, certificate));
  const found = await checked();
  expect(found.told.sort()).toEqual([...told].sort());
  expect(found.statuses).toEqual([told.some(message => message.startsWith('error')) ? 'undetermined' : 'verified']);
});

test.runIf(knowsCase)('two files that differ by case alone are two', async () => {
  write('house/house.gus', 'let capacity = 1 kN\n');
  write('craft/data/loads.csv', 'F [N]\n900\n');
  write('craft/data/Loads.csv', 'F [N]\n9000\n');
  write('certs/a.pdf', '');
  write('craft/project.gus', project('../house', 'data/Loads.csv', '../certs/a.pdf'));
  expect(await checked()).toEqual({ statuses: ['failing'], told: [] });
  write('craft/project.gus', project('../house', 'data/LOADS.csv', '../certs/a.pdf'));
  expect((await checked()).statuses).toEqual(['undetermined']);
});

test('sources are read whatever the case of their extension', async () => {
  write(
    'craft/PROJECT.GUS',
    'project Craft { date = 2027-06-01 }\nrequirement A-1 "It shall." { check 1 <= 2   verify by analysis }\n',
  );
  expect((await checked()).statuses).toEqual(['verified']);
});
