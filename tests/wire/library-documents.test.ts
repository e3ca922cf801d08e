/** Documents of the formula library, under `gusset:` addresses: they are read as any other, and not written. */
import { describe, expect, test } from 'vitest';
import type { DocumentHighlight, DocumentSymbol, Location } from 'vscode-languageserver-types';
import { TestServer } from '../support/server.js';
import { useServer } from '../support/suite-server.js';

const TEXT = `project Demo "Demo" { date = 2027-01-01 }
let octaves = 3
let f_1 = 4 Hz
let steps = spectrum_slope(20 Hz, 0.01 g0^2/Hz, 80 Hz, 0.04 g0^2/Hz)
let time = sweep_time(f_1 = f_1, f_2 = 100 Hz, rate = 2 Hz)
`;
const VIBRATION = 'gusset:/vibration.gus';
const SPECTRA = 'gusset:/spectra.gus';
const texts = new Map<string, string>();
let server: TestServer;
useServer(
  () => TestServer.start({ 'a.gus': TEXT }),
  ['a.gus'],
  async started => {
    server = started;
    for (const uri of [VIBRATION, SPECTRA]) {
      const text = await server.ask<string>('gusset/libraryText', { uri });
      texts.set(uri, text);
      await server.connection.sendNotification('textDocument/didOpen', {
        textDocument: { uri, languageId: 'gusset', version: 1, text },
      });
    }
    texts.set(server.uri('a.gus'), TEXT);
  },
);

/** The line that begins with `line`, `offset` characters behind the first `needle` in it. */
function placeOf(uri: string, line: string, needle: string, offset = 0): { line: number; character: number } {
  const lines = texts.get(uri)!.split('\n');
  const at = lines.findIndex(candidate => candidate.startsWith(line));
  return { line: at, character: lines[at]!.indexOf(needle) + offset };
}
const ask = <T>(method: string, uri: string, line: string, needle: string, offset = 0, more: object = {}): Promise<T> =>
  server.ask(`textDocument/${method}`, {
    textDocument: { uri },
    position: placeOf(uri, line, needle, offset),
    ...more,
  });
const nameOf = (uri: string): string => uri.replace(/^.*\//, '');
const shown = ({ uri, range }: Location): string =>
  `${nameOf(uri)}:${texts.get(uri)?.split('\n')[range.start.line]!.slice(range.start.character, range.end.character) ?? ''}:${range.start.character}`;

describe('a document of the library', () => {
  test('hovers tell a formula, where it is declared and where another calls it, and what is built in', async () => {
    const text = async (line: string, needle: string, offset = 0, uri = VIBRATION): Promise<string> =>
      (await ask<{ contents: { value: string } }>('hover', uri, line, needle, offset)).contents.value;
    expect(await text('formula octaves', 'octaves')).toContain(
      'formula octaves(f_1: frequency, f_2: frequency): number = ln(f_2 / f_1) / ln(2)',
    );
    expect(await text('formula sweep_time', 'octaves(')).toContain('formula octaves(');
    expect(await text('formula spectrum_slope', 'octaves(', 2, SPECTRA)).toContain('formula octaves(');
    expect(await text('formula octaves', 'ln(')).toContain('`ln(');
    expect(await text('formula octaves', 'f_2 /')).toContain('`f_2`');
  });

  test('definitions lead to the formula that is called, in this file or another, and to the parameter', async () => {
    const at = async (uri: string, line: string, needle: string, offset = 0): Promise<string> =>
      shown(await ask<Location>('definition', uri, line, needle, offset));
    expect(await at(VIBRATION, 'formula sweep_time', 'octaves(')).toBe('vibration.gus:octaves:8');
    expect(await at(SPECTRA, 'formula spectrum_slope', 'octaves(')).toBe('vibration.gus:octaves:8');
    expect(await at(VIBRATION, 'formula octaves', 'f_2 /')).toBe('vibration.gus:f_2:32');
  });

  test('references of a formula are those of the project and those of the library; of a parameter those in its formula', async () => {
    const at = async (uri: string, line: string, needle: string): Promise<string[]> =>
      (await ask<Location[]>('references', uri, line, needle, 0, { context: { includeDeclaration: true } }))
        .map(shown)
        .sort();
    expect(await at(VIBRATION, 'formula sweep_time', 'sweep_time')).toEqual([
      'a.gus:sweep_time:11',
      'vibration.gus:sweep_time:8',
    ]);
    expect((await at(SPECTRA, 'formula spectrum_slope', 'octaves(')).map(place => place.replace(/:\d+$/, ''))).toEqual([
      'spectra.gus:octaves',
      'spectra.gus:octaves',
      'vibration.gus:octaves',
      'vibration.gus:octaves',
    ]);
    // Declared, read in the formula, and in what it requires.
    expect(await at(VIBRATION, 'formula octaves', 'f_2 /')).toHaveLength(3);
    // From the project the same.
    expect(await at(server.uri('a.gus'), 'let time', 'sweep_time')).toEqual([
      'a.gus:sweep_time:11',
      'vibration.gus:sweep_time:8',
    ]);
    // A value of the project that has the name of a formula is another thing.
    expect(await at(server.uri('a.gus'), 'let octaves', 'octaves')).toEqual(['a.gus:octaves:4']);
  });

  test('highlights', async () => {
    const at = async (line: string, needle: string): Promise<(string | number)[][]> =>
      (await ask<DocumentHighlight[]>('documentHighlight', VIBRATION, line, needle)).map(({ range, kind }) => [
        texts.get(VIBRATION)!.split('\n')[range.start.line]!.slice(8, 18),
        range.start.character,
        kind!,
      ]);
    const call = placeOf(VIBRATION, 'formula sweep_time', 'octaves(').character;
    expect(await at('formula octaves', 'octaves')).toEqual([
      ['octaves(f_', 8, 3],
      ['sweep_time', call, 2],
    ]);
    expect(await at('formula sweep_time', 'rate')).toHaveLength(3);
  });

  test('its formulas are its symbols; nothing in it is renamed', async () => {
    const symbols = await server.ask<DocumentSymbol[]>('textDocument/documentSymbol', {
      textDocument: { uri: VIBRATION },
    });
    expect(symbols.map(({ name }) => name)).toContain('sweep_time');
    await expect(ask('prepareRename', VIBRATION, 'formula octaves', 'octaves')).rejects.toThrow('not yours to change');
    await expect(ask('rename', VIBRATION, 'formula octaves', 'f_2 /', 0, { newName: 'top' })).rejects.toThrow(
      'not yours to change',
    );
  });

  test('any request at any place is answered', async () => {
    const lines = texts.get(VIBRATION)!.split('\n');
    for (let line = 0; line < lines.length; line += 3) {
      for (const character of [0, 8, 30, 60]) {
        for (const method of [
          'hover',
          'definition',
          'typeDefinition',
          'implementation',
          'references',
          'documentHighlight',
          'prepareCallHierarchy',
          'signatureHelp',
          'completion',
        ]) {
          await server.ask(`textDocument/${method}`, {
            textDocument: { uri: VIBRATION },
            position: { line, character },
            context: { includeDeclaration: true },
          });
        }
      }
    }
  });
});
