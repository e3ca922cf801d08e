import { expect, test } from 'vitest';
import type { Range, TextEdit } from 'vscode-languageserver-types';
import { TestServer } from '../support/server.js';
import { useServer } from '../support/suite-server.js';

const FILE = 'parts/a.gus';
const TEXT = `use "../materials"
kind Strap "Strap" { given width: length   let area = width * 1 mm }
part S1 "One" is Strap { width = 3 mm }
part Bus "Bus" {
  material = Plate from L-1
  t = 2 mm
  let twice = 2 * t
  requirement BUS-1 "It shall be {t} thick." { check twice <= 9 mm   verify by analysis }
}
lot L-1 of Plate { certificate = file("../certs/L-1.pdf") }
evidence TR-1 for BUS-1 { method = analysis   date = 2026-01-01   result = pass   report = file("r.txt") }
`;
let server: TestServer;
useServer(
  () =>
    TestServer.start({
      'project.gus': 'project P "P" { date = 2027-01-01 }\n',
      'materials/m.gus': 'material Plate "Plate" { }\nlet cited = file("../certs/L-1.pdf")\n',
      [FILE]: TEXT,
    }),
  [FILE],
  started => {
    server = started;
  },
);

const rename = async (needle: string, newName: string, offset = 0): Promise<string> => {
  const { changes } = await server.request<{ changes: Record<string, TextEdit[]> }>('textDocument/rename', FILE, {
    position: server.position(FILE, needle, offset),
    newName,
  });
  return server.edited(FILE, changes[server.uri(FILE)]!);
};
const prepare = (needle: string, offset = 0): Promise<{ range: Range; placeholder: string }> =>
  server.request('textDocument/prepareRename', FILE, { position: server.position(FILE, needle, offset) });
const renameFiles = async (...files: (readonly [string, string])[]): Promise<Record<string, string[]>> => {
  const edit = await server.ask<{ changes: Record<string, TextEdit[]> } | null>('workspace/willRenameFiles', {
    files: files.map(([from, to]) => ({ oldUri: server.uri(from), newUri: server.uri(to) })),
  });
  return Object.fromEntries(
    Object.entries(edit?.changes ?? {}).map(([uri, edits]) => [
      uri.slice(server.uri('').length + 1),
      edits.map(change => change.newText),
    ]),
  );
};

test('a name in text, math and title', async () => {
  expect(await rename('t = 2 mm', 'thickness')).toBe(
    TEXT.replace('t = 2 mm', 'thickness = 2 mm').replace('2 * t\n', '2 * thickness\n').replace('{t}', '{thickness}'),
  );
});

test('a label where it is declared and cited', async () => {
  expect(await rename('BUS-1 "It', 'BUS-010')).toBe(
    TEXT.replace('BUS-1 "It', 'BUS-010 "It').replace('for BUS-1', 'for BUS-010'),
  );
  expect(await rename('L-1 of', 'L-9')).toBe(TEXT.replace('from L-1', 'from L-9').replace('lot L-1', 'lot L-9'));
});

test('what can be renamed is shown before', async () => {
  const { range, placeholder } = await prepare('2 * t\n', 4);
  expect([server.textAt(FILE, range), placeholder]).toEqual(['t', 't']);
  expect(await prepare('BUS-1 {', 2)).toMatchObject({ placeholder: 'BUS-1' });
});

test('what can not be renamed says why', async () => {
  await expect(prepare('2 * t\n', 2)).rejects.toThrow('There is no name here');
  await expect(prepare('material = Plate', 2)).rejects.toThrow('material is a field of every part');
  await expect(prepare('width = 3 mm')).rejects.toThrow('Strap asks its parts for width');
  await expect(rename('t = 2 mm', 'twice')).rejects.toThrow('Bus has a twice already');
  await expect(rename('t = 2 mm', '2t')).rejects.toThrow("'2t' is no name");
});

test('paths follow files and folders that are renamed', async () => {
  expect(await renameFiles(['certs/L-1.pdf', 'certs/old/L-1.pdf'])).toEqual({
    [FILE]: ['../certs/old/L-1.pdf'],
    'materials/m.gus': ['../certs/old/L-1.pdf'],
  });
  expect(await renameFiles(['materials', 'stock/materials'])).toEqual({
    [FILE]: ['../stock/materials'],
    'materials/m.gus': ['../../certs/L-1.pdf'],
  });
  expect(await renameFiles([FILE, 'a.gus'])).toEqual({ [FILE]: ['materials', 'certs/L-1.pdf', 'parts/r.txt'] });
  expect(await renameFiles(['parts/r.txt', 'parts/report.txt'], ['certs', 'certificates'])).toEqual({
    [FILE]: ['../certificates/L-1.pdf', 'report.txt'],
    'materials/m.gus': ['../certificates/L-1.pdf'],
  });
  expect(await renameFiles(['other.txt', 'another.txt'])).toEqual({});
});
