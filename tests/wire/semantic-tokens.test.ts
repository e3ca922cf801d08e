import { describe, expect, test } from 'vitest';
import { TestServer } from '../support/server.js';
import { useServer } from '../support/suite-server.js';

const FILE = 'a.gus';
const TEXT = `/// The vehicle.
part Bus "Bus of {mass}" {
  material = Plate from L-1
  mass = 3.2 kg ± 5 %
  let twice(x: length) = 2 * x
  requirement BUS-001 "It shall
    hold." {
    check yield for L in [Pull]: sqrt(L.force) <= bending_stress(M = pi, b = twice(1 mm), h = 1) // so
    verify by analysis
  }
}
material Plate "Plate" { class = metal }
load Pull "Pull" { force = 3 N }
`;

interface Legend {
  readonly tokenTypes: readonly string[];
  readonly tokenModifiers: readonly string[];
}

describe('semantic tokens', () => {
  let server: TestServer;
  let legend: Legend;
  useServer(
    () => TestServer.start({ [FILE]: TEXT }),
    [FILE],
    started => {
      server = started;
      legend = (server.capabilities['semanticTokensProvider'] as { legend: Legend }).legend;
    },
  );

  /** `text type modifiers…` of each token. */
  function read(data: readonly number[], text: string): string[] {
    const lines = text.split('\n');
    let [line, character] = [0, 0];
    const found: string[] = [];
    for (let i = 0; i < data.length; i += 5) {
      const [down, right, length, type, bits] = data.slice(i, i + 5) as [number, number, number, number, number];
      line += down;
      character = down > 0 ? right : character + right;
      found.push(
        [
          lines[line]!.slice(character, character + length),
          legend.tokenTypes[type],
          ...legend.tokenModifiers.filter((_, bit) => bits & (1 << bit)),
        ].join(' '),
      );
    }
    return found;
  }
  const full = (): Promise<{ resultId: string; data: number[] }> =>
    server.request('textDocument/semanticTokens/full', FILE, {});

  test('every word, number, unit and label is what it is', async () => {
    expect(read((await full()).data, TEXT)).toEqual([
      '/// The vehicle. comment documentation',
      'part keyword',
      'Bus class declaration',
      '"Bus of { string',
      'mass property',
      '}" string',
      'material property declaration',
      '= operator',
      'Plate struct',
      'from keyword',
      'L-1 label',
      'mass property declaration',
      '= operator',
      '3.2 number',
      'kg unit',
      '± operator',
      '5 number',
      '% unit',
      'let keyword',
      'twice function declaration',
      'x parameter declaration',
      'length type defaultLibrary',
      '= operator',
      '2 number',
      '* operator',
      'x parameter',
      'requirement keyword',
      'BUS-001 label declaration',
      '"It shall string',
      '    hold." string',
      'check keyword',
      'yield enumMember',
      'for keyword',
      'L parameter declaration',
      'in keyword',
      'Pull event',
      'sqrt function defaultLibrary',
      'L parameter',
      'force property',
      '<= operator',
      'bending_stress function defaultLibrary',
      'M parameter',
      '= operator',
      'pi variable readonly defaultLibrary',
      'b parameter',
      '= operator',
      'twice function',
      '1 number',
      'mm unit',
      'h parameter',
      '= operator',
      '1 number',
      '// so comment',
      'verify keyword',
      'by keyword',
      'analysis enumMember',
      'material keyword',
      'Plate struct declaration',
      '"Plate" string',
      'class property declaration',
      '= operator',
      'metal enumMember',
      'load keyword',
      'Pull event declaration',
      '"Pull" string',
      'force property declaration',
      '= operator',
      '3 number',
      'N unit',
    ]);
  });

  test('a range holds what touches it', async () => {
    const start = server.position(FILE, 'let twice');
    const { data } = await server.request<{ data: number[] }>('textDocument/semanticTokens/range', FILE, {
      range: { start, end: { line: start.line, character: 12 } },
    });
    expect(read(data, TEXT)).toEqual(['let keyword', 'twice function declaration']);
  });

  test('a change is sent as the difference, and comes to the same', async () => {
    const before = await full();
    await server.edit(FILE, '3.2 kg', '3.25 kg + 1 g');
    const delta = await server.request<{
      resultId: string;
      edits: { start: number; deleteCount: number; data: number[] }[];
    }>('textDocument/semanticTokens/full/delta', FILE, { previousResultId: before.resultId });
    expect(delta.edits).toHaveLength(1);
    expect(delta.edits[0]!.data.length).toBeLessThan(60);
    const applied = [...before.data];
    for (const { start, deleteCount, data } of delta.edits) applied.splice(start, deleteCount, ...data);
    expect(applied).toEqual((await full()).data);
    const unknown = await server.request<{ data?: number[] }>('textDocument/semanticTokens/full/delta', FILE, {
      previousResultId: 'gone',
    });
    expect(unknown.data).toEqual(applied);
    await server.edit(FILE, '3.25 kg + 1 g', '3.2 kg');
    await full();
    const same = await full();
    expect(
      await server.request('textDocument/semanticTokens/full/delta', FILE, { previousResultId: same.resultId }),
    ).toMatchObject({ edits: [] });
  });
});
