import { describe, expect, test } from 'vitest';
import type { DocumentLink, FoldingRange, SelectionRange, TextEdit } from 'vscode-languageserver-types';
import { TestServer } from '../support/server.js';
import { useServer } from '../support/suite-server.js';

const FILE = 'parts/a.gus';
const TEXT = `// One
// and another line.
use "../materials"

part Bus "Bus" {
  /* several
     lines */
  t = 2 mm // behind
  // alone
  let strength = [
    0 degC -> 3 MPa,
    9 degC -> 2 MPa
  ]
  requirement BUS-1 "It shall hold." { check 2 * (t + 1 mm) <= 9 mm   verify by analysis }
}
lot L-1 of Plate { certificate = file("../certs/L-1.pdf") }
lot L-2 of Plate { certificate = file("../../elsewhere.pdf") }
lot L-3 of Plate { certificate = file("/etc/passwd") }
`;
const FILES = {
  'project.gus': 'project P "P" { date = 2027-01-01 }\n',
  'materials/project.gus': 'material Plate "Plate" { }\n',
  [FILE]: TEXT,
  'certs/L-1.pdf': 'x',
};

describe('the structure of a document', () => {
  let server: TestServer;
  useServer(
    () => TestServer.start(FILES),
    [FILE],
    started => {
      server = started;
    },
  );

  test('blocks, tables and comments fold', async () => {
    const ranges = await server.request<FoldingRange[]>('textDocument/foldingRange', FILE, {});
    expect(ranges).toEqual([
      { startLine: 0, endLine: 1, kind: 'comment' },
      { startLine: 4, endLine: 13 },
      { startLine: 5, endLine: 6, kind: 'comment' },
      { startLine: 9, endLine: 11 },
    ]);
  });

  test('a selection grows outward', async () => {
    const [range] = await server.request<SelectionRange[]>('textDocument/selectionRange', FILE, {
      positions: [server.position(FILE, 't + 1 mm')],
    });
    const texts: string[] = [];
    for (let at: SelectionRange | undefined = range; at; at = at.parent) texts.push(server.textAt(FILE, at.range));
    expect(texts.slice(0, 7)).toEqual([
      't',
      't + 1 mm',
      '(t + 1 mm)',
      '2 * (t + 1 mm)',
      '2 * (t + 1 mm) <= 9 mm',
      'check 2 * (t + 1 mm) <= 9 mm',
      'check 2 * (t + 1 mm) <= 9 mm   verify by analysis',
    ]);
    expect(texts.at(-1)).toBe(TEXT);
    expect(texts.some(text => text.startsWith('part Bus') && text.endsWith('}'))).toBe(true);
  });

  test('links lead to cited files inside the workspace only', async () => {
    const links = await server.request<DocumentLink[]>('textDocument/documentLink', FILE, {});
    expect(links.map(link => [server.textAt(FILE, link.range), link.target])).toEqual([
      ['../materials', server.uri('materials/project.gus')],
      ['../certs/L-1.pdf', server.uri('certs/L-1.pdf')],
    ]);
  });
});

describe('formatting what is typed', () => {
  let server: TestServer;
  const LOOSE = 'part A "A" {\nt=2 mm\n   width  =  3 mm\n}\npart B "B" {\nt=2 mm\n}\n';
  useServer(
    () => TestServer.start({ 'a.gus': LOOSE }),
    ['a.gus'],
    started => {
      server = started;
    },
  );
  const options = { options: { tabSize: 2, insertSpaces: true } };
  const format = async (method: string, params: object): Promise<string> =>
    server.edited('a.gus', await server.request<TextEdit[]>(method, 'a.gus', { ...options, ...params }));

  test('a range changes nothing outside of it', async () => {
    expect(
      await format('textDocument/rangeFormatting', {
        range: { start: { line: 1, character: 0 }, end: { line: 1, character: 6 } },
      }),
    ).toBe(LOOSE.replace('\nt=2 mm\n   width', '\n  t = 2 mm\n   width'));
  });

  test('several ranges at once, each place once', async () => {
    const range = (line: number): object => ({ start: { line, character: 0 }, end: { line, character: 6 } });
    expect(await format('textDocument/rangesFormatting', { ranges: [range(1), range(5), range(1)] })).toBe(
      LOOSE.replaceAll('\nt=2 mm\n', '\n  t = 2 mm\n'),
    );
  });

  test('a closed block is laid out', async () => {
    expect(await format('textDocument/onTypeFormatting', { position: { line: 3, character: 1 }, ch: '}' })).toBe(
      'part A "A" {\n  t = 2 mm\n  width = 3 mm\n}\npart B "B" {\nt=2 mm\n}\n',
    );
  });

  test('a new line lays out the one before and is indented', async () => {
    await server.edit('a.gus', 't=2 mm\n   width', 't=2 mm\n\n   width');
    const text = server.texts.get('a.gus')!;
    expect(await format('textDocument/onTypeFormatting', { position: { line: 2, character: 0 }, ch: '\n' })).toBe(
      text.replace('t=2 mm\n\n', '  t = 2 mm\n  \n'),
    );
    expect(server.logged).toEqual([]);
  });
});
