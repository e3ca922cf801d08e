/** A line ends where an editor ends it, in every reader of a source. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { gusset } from '../support/command-line.js';
import { TestServer } from '../support/server.js';

const LINES = [
  'project Tide "Tide" { date = 2027-01-01 }',
  '// a comment ends with its line',
  'requirement R-1 "It shall hold',
  '  in every case." {',
  '  check 3 N <= 2 N // fails',
  '}',
  'let x = 1_000 mm',
  '',
];
let folder = '';
let server: TestServer | undefined;
afterEach(async () => {
  await server?.close();
  server = undefined;
  rmSync(folder, { recursive: true, force: true });
});

interface Place {
  readonly start: { readonly line: number; readonly character: number };
}

const told = (findings: readonly { code?: string | number; range: Place }[]): string[] =>
  findings.map(({ code, range: { start } }) => `${code} ${start.line}:${start.character}`).sort();

describe.each([
  ['line feeds', '\n'],
  ['carriage returns and line feeds', '\r\n'],
  ['carriage returns', '\r'],
])('%s', (_, lineEnd) => {
  it('end lines in the terminal, on disk and in an open document', async () => {
    folder = mkdtempSync(join(tmpdir(), 'gusset-lines-'));
    const text = LINES.join(lineEnd);
    writeFileSync(join(folder, 'm.gus'), text);
    const { diagnostics } = JSON.parse(gusset(['check', folder, '--format', 'json']).printed) as {
      diagnostics: { code: string; range: Place }[];
    };
    const expected = ['failing-margin 4:8', 'syntax 6:8'];
    const isExpected = (code: string): boolean => expected.some(each => each.startsWith(code));
    expect(told(diagnostics.filter(({ code }) => isExpected(code)))).toEqual(expected);
    server = await TestServer.startIn(folder, { 'm.gus': text });
    const isAll = (found: readonly { code?: string | number; range: Place }[]): boolean =>
      told(found.filter(({ code }) => isExpected(String(code)))).join() === expected.join();
    await server.until('m.gus', isAll);
    await server.open('m.gus');
    await server.until('m.gus', isAll, 1);
  });
});
