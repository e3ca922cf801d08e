/**
 * What a project may hold that it should not: each is one clear finding at its place, and the rest is evaluated all the
 * same.
 */
import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import type { CheckReport } from '../../server/reports/check-report.js';
import { canLink } from '../support/machine.js';

const GOOD =
  'project Good "Good" { date = 2027-01-01 }\nrequirement OK "It shall hold." {\n  check strength: 1 MPa <= 2 MPa\n  verify by analysis\n}\n';

interface Link {
  readonly linkTo: string;
}
type Content = string | Uint8Array | Link;

function isLink(content: Content): content is Link {
  return typeof content === 'object' && 'linkTo' in content;
}

async function check(
  files: Readonly<Record<string, Content>>,
): Promise<{ code: number | null; report: CheckReport | null; complaint: string }> {
  const folder = mkdtempSync(join(tmpdir(), 'gusset-bad-'));
  try {
    for (const [path, content] of Object.entries({ 'good.gus': GOOD, ...files })) {
      if (isLink(content)) symlinkSync(content.linkTo, join(folder, path));
      else writeFileSync(join(folder, path), content);
    }
    const child = spawn(process.execPath, ['out/cli.mjs', 'check', folder, '--format', 'json']);
    let [printed, complaint] = ['', ''];
    child.stdout.on('data', piece => {
      printed += piece;
    });
    child.stderr.on('data', piece => {
      complaint += piece;
    });
    const code = await new Promise<number | null>(resolve => child.once('close', resolve));
    return {
      code,
      report: printed ? (JSON.parse(printed) as CheckReport) : null,
      complaint,
    };
  } finally {
    rmSync(folder, { recursive: true });
  }
}

interface Case {
  readonly what: string;
  readonly files: Readonly<Record<string, Content>>;
  readonly code: string;
  /** One-based line, and one-based column where it matters. */
  readonly at: readonly [line: number, column?: number];
  /** A part of the message. */
  readonly says?: string;
  readonly file?: string;
}

const source = (what: string, text: Content, code: string, at: Case['at'], says?: string): Case => ({
  what,
  files: { 'bad.gus': text },
  code,
  at,
  ...(says ? { says } : {}),
});
const reading = (what: string, before: string, code: string, at: Case['at'], says?: string): Case =>
  source(
    what,
    `${before}\nrequirement R "It shall hold." {\n  check c: a <= 1\n  verify by analysis\n}\n`,
    code,
    at,
    says,
  );
const sweeping = (what: string, sweep: string, code: string): Case =>
  source(what, `requirement R "It shall hold." {\n  check c for ${sweep}\n  verify by analysis\n}\n`, code, [2]);
const table = (
  what: string,
  head: string,
  data: Content | null,
  code: string,
  at: Case['at'],
  says?: string,
): Case => ({
  what,
  files: {
    'bad.gus': `table T = ${head}\nrequirement R "It shall hold." {\n  check c: max(T.x) <= 1 MPa\n  verify by analysis\n}\n`,
    ...(data === null ? {} : { 'd.csv': data }),
  },
  code,
  at,
  ...(says ? { says } : {}),
});

const STRESS = 'file("d.csv") { x as MPa "X [MPa]" }';
const repeated = (text: string, count: number): string => Array.from({ length: count }, () => text).join('');
const megabytes = (count: number): string => 'x'.repeat(count * 2 ** 20);

const cases: readonly Case[] = [
  source('a block that is never closed', 'let a = 1\npart A "A" {\n  t = 3 mm\n', 'syntax', [2, 12], 'never closed'),
  source('a brace too many', 'let a = 1\n}\nlet b = 2\n', 'syntax', [2, 1], 'closes nothing'),
  source('a missing value', 'let a =\nlet b = 2\n', 'syntax', [1, 7], 'Expected a value'),
  source('characters without a meaning', 'let a = 1\n@@@ ??? $$$\nlet b = 2\n', 'syntax', [2, 1], 'no meaning'),
  source(
    'a text that is never closed',
    'part A "never closed {\n  t = 3 mm\n}\n',
    'syntax',
    [1, 8],
    'no closing quote',
  ),
  source('a comment that is never closed', 'let a = 1 /* never closed\nlet b = 2\n', 'syntax', [1, 11], 'never closed'),
  source('operators alone', 'let a = + * /\n', 'syntax', [1, 11]),

  source('UTF-16', Buffer.from('\ufefflet a = 1 mm\n', 'utf16le'), 'unreadable-file', [1], 'UTF-16'),
  source('Latin-1', Buffer.from('let a = 1\nlet b = 3 \u00b5m\n', 'latin1'), 'unreadable-file', [2], 'UTF-8'),
  source('a zero byte', 'let a = 1\nlet b = \0 2\n', 'unreadable-file', [2], 'zero byte'),
  source(
    'a byte order mark and CRLF before an error',
    '\ufefflet a = 1 mm\r\nlet b = a + 1 N\r\n',
    'cannot-add',
    [2, 9],
  ),
  source('17 MiB', `// ${megabytes(17)}`, 'unreadable-file', [1], 'more than the 16 MiB'),

  source('20 000 terms', `let a = ${repeated('1 + ', 20_000)}1\n`, 'expression-too-deep', [1]),
  source('30 000 brackets', `let a = ${repeated('(', 30_000)}1${repeated(')', 30_000)}\n`, 'syntax', [1], 'too deeply'),
  source('30 000 powers', `let a = ${repeated('1^', 30_000)}1\n`, 'syntax', [1], 'too deeply'),
  source(
    '2000 blocks in each other',
    `${repeated('part A "A" {\n', 2000)}${repeated('}', 2000)}\n`,
    'syntax',
    [100],
    'deep in each other',
  ),

  source('an unknown unit', 'let a = 1\nlet b = 5 furlongz\n', 'unknown-unit', [2, 9], 'furlongz'),
  source('mixed dimensions', 'let a = 1 mm\nlet b = a + 1 N\n', 'cannot-add', [2, 9], 'length and force'),
  reading('two values that need each other', 'let a = b + 1\nlet b = a', 'cycle', [2], 'a → b'),
  reading('a value that needs itself', 'let a = a + 1', 'cycle', [1], 'a → a'),
  reading('a circle through a formula', 'formula f(x) = a * x\nlet a = f(2)', 'cycle', [2]),
  reading('a circle through a load', 'load L "L" { axial = a * 1 g0 }\nlet a = L.axial / (1 g0)', 'cycle', [1]),
  reading('a formula that calls itself', 'formula f(x) = f(x + 1)\nlet a = f(1)', 'recursive-formula', [1]),
  reading(
    'formulas that call each other twice',
    'formula f(x) = g(x) + g(x)\nformula g(x) = f(x) + f(x)\nlet a = f(1)',
    'recursive-formula',
    [2],
  ),
  reading('a division by zero', 'let a = 1 / 0', 'division-by-zero', [1], 'divides by zero'),
  reading('zero by zero', 'let z = 0 mm\nlet a = z / z', 'division-by-zero', [2]),
  reading('the root of a negative number', 'let a = sqrt(-1)', 'root-of-negative', [1]),
  reading('a number that is too large', 'let b = 1e309\nlet a = b', 'number-out-of-range', [1, 9]),
  reading('a product that is too large', 'let a = 1e308 * 10', 'undetermined', [3], '1.8e308'),

  table(
    'a missing data file',
    'file("none.csv") { x as MPa "X [MPa]" }',
    null,
    'data-file',
    [1],
    'none.csv does not exist',
  ),
  table(
    'a missing column',
    'file("d.csv") { x as MPa "Y [MPa]" }',
    'X [MPa]\n1\n',
    'data-file',
    [1],
    'No column is headed "Y [MPa]"',
  ),
  table('a cell that is no number', STRESS, 'X [MPa]\n1\nabc\n', 'data-file', [1], '"abc" in line 3'),
  table(
    'a header in another unit',
    'file("d.csv") { x as MPa "X [psi]" }',
    'X [psi]\n1\n',
    'header-unit-disagrees',
    [1],
    'psi',
  ),
  table('a preamble that is not skipped', STRESS, 'made by a program\nX [MPa]\n1\n', 'data-file', [1], '`skip 1`'),
  table('rows of unequal length', STRESS, 'X [MPa],Y\n1\n2,3,4\n', 'data-file', [1], 'Line 2'),
  table('an empty data file', STRESS, '', 'data-file', [1], 'empty'),
  table('data without rows', STRESS, 'X [MPa]\n', 'data-file', [1], 'no rows'),
  table('more rows than a list may have', STRESS, `X [MPa]\n${repeated('1\n', 150_000)}`, 'sweep-too-large', [3]),
  table(
    'a path out of the workspace',
    'file("../../other.csv") { x as MPa "X [MPa]" }',
    null,
    'data-file',
    [1],
    'outside the workspace',
  ),
  table(
    'an absolute path',
    'file("/etc/hostname") { x as MPa "X [MPa]" }',
    null,
    'data-file',
    [1],
    'outside the workspace',
  ),
  table('a link out of the workspace', STRESS, { linkTo: '/etc/hostname' }, 'data-file', [1], 'outside the workspace'),
  {
    what: 'a source that links out of the workspace',
    files: { 'bad.gus': { linkTo: '/etc/hostname' } },
    code: 'unreadable-file',
    at: [1],
    says: 'outside the workspace',
  },
  {
    what: 'a folder that links to itself',
    files: { loop: { linkTo: '.' } },
    code: 'unreadable-file',
    at: [1],
    file: 'loop',
    says: 'not followed',
  },
  source(
    'a folder out of the workspace brought in',
    'use "../../other"\n',
    'library-missing',
    [1, 5],
    'outside the workspace',
  ),

  source(
    'a label twice',
    repeated('requirement R-1 "It shall hold." {\n  check c: 1 <= 2\n  verify by analysis\n}\n', 2),
    'duplicate-name',
    [5, 13],
    'R-1',
  ),
  source('a part of a file that is gone', 'let a = Gone.t * 2\n', 'unknown-name', [1, 9], 'Gone'),
  sweeping('a billion rows', 'i in 1 .. 1000000000: i <= 5', 'sweep-too-large'),
  sweeping(
    'a billion combinations',
    'i in 1 .. 1000, j in 1 .. 1000, k in 1 .. 1000: i + j + k <= 5000',
    'sweep-too-large',
  ),
  sweeping('a step of next to nothing', 'T in 0 degC .. 100 degC step 1e-9 K: T <= 200 degC', 'sweep-too-large'),
  sweeping('a step of nothing', 'T in 0 degC .. 100 degC step 0 K: T <= 200 degC', 'sweep-undetermined'),
];

describe('each is found, and what is good is evaluated', () => {
  test.concurrent.each(cases.filter(({ files }) => canLink || !Object.values(files).some(isLink)))(
    '$what',
    async ({ files, code, at, says = '', file = 'bad.gus' }) => {
      const result = await check(files);
      expect(result.complaint).toBe('');
      expect(result.code).toBe(1);
      const { requirements, diagnostics } = result.report!;
      const found = diagnostics
        .filter(finding => finding.severity === 'error')
        .map(finding => ({
          code: finding.code,
          file: finding.file,
          line: finding.range.start.line + 1,
          column: finding.range.start.character + 1,
          message: finding.message,
        }));
      const [line, column] = at;
      expect(found).toContainEqual({
        code,
        file,
        line,
        column: column ?? expect.any(Number),
        message: expect.stringContaining(says),
      });
      expect(
        Object.fromEntries(requirements.map(requirement => [requirement.label, requirement.status])),
      ).toMatchObject({ OK: 'verified' });
      expect(
        requirements.filter(requirement => requirement.label === 'R').map(requirement => requirement.status),
      ).not.toContain('verified');
    },
    180_000,
  );
});

describe('large and empty files without an error', () => {
  test.concurrent.each([
    ['an empty file', ''],
    ['a comment alone', '// nothing\n'],
    ['15 MiB of one comment', `// ${megabytes(15)}\n`],
    ['20 000 declarations', Array.from({ length: 20_000 }, (_, i) => `let value_${i} = ${i} mm * 2 + 1 mm\n`).join('')],
  ])(
    '%s',
    async (_, text) => {
      const { code, report } = await check({ 'large.gus': text });
      expect(code).toBe(0);
      expect(report!.requirements.map(({ status }) => status)).toEqual(['verified']);
    },
    180_000,
  );
});

test('nothing to read is unusable input', async () => {
  const child = spawn(process.execPath, ['out/cli.mjs', 'check', join(tmpdir(), 'gusset-no-such-folder')]);
  expect(await new Promise(resolve => child.once('close', resolve))).toBe(2);
});
