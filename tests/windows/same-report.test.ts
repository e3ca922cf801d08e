/** The same project comes to the same report on every system. */
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { gusset } from '../support/command-line.js';

const reference = process.env.GUSSET_REFERENCE;

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'gusset-same-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

test.skipIf(reference === undefined)('Cordgrass, byte for byte as on the other system', () => {
  const { code, printed, complaint } = gusset(['check', 'examples/cordgrass', '--format', 'json']);
  expect({ code, complaint }).toEqual({ code: 1, complaint: '' });
  expect(printed === readFileSync(reference!, 'utf8')).toBe(true);
});

test('paths are written with forward slashes', () => {
  const { printed } = gusset(['check', 'examples/cordgrass', '--format', 'json']);
  expect(printed).toContain('"file": "examples/cordgrass/avionics.gus"');
  expect(printed).not.toContain('cordgrass\\\\');
});

test('data files and sources with other line ends, the same numbers', () => {
  const [plain, other] = [join(folder, 'plain'), join(folder, 'other')];
  for (const copy of [plain, other]) cpSync('examples/cordgrass', copy, { recursive: true });
  for (const path of readdirSync(other, { recursive: true, encoding: 'utf8' })) {
    if (!/\.(csv|gus)$/.test(path) || !statSync(join(other, path)).isFile()) continue;
    writeFileSync(join(other, path), readFileSync(join(other, path), 'utf8').replaceAll(/\r?\n/g, '\r\n'));
  }
  const [expected, found] = [plain, other].map(copy => gusset(['check', copy, '--format', 'json']));
  expect(found!.code).toBe(1);
  expect(found).toEqual(expected);
});
