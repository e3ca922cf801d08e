/** Texts that ask for more work than can be done: the server answers meanwhile, and forgets them once mended. */
import { LSPErrorCodes } from 'vscode-languageserver-protocol';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { TestServer } from '../support/server.js';

const FILE = 'heavy.gus';
const total = (i: number, most: number): string =>
  `let total${i} = sum(for i in 1 .. ${most}: sum(for j in 1 .. ${most}: i * j + ${i}))\n`;
/** Each up to its bound, which the thread that calculates it can't be interrupted at. */
const HEAVY = [0, 1, 2].map(i => total(i, 1000)).join('');
const MANY = Array.from({ length: 20 }, (_, i) => total(i, 150)).join('');
const LIGHT = 'let total = sum(for i in 1 .. 10: i)\n';
const REST = `requirement R-1 "The load shall stay below its limit." {
  check 3 N <= 4 N
  verify by analysis
}
`;
let server: TestServer;
beforeAll(async () => {
  server = await TestServer.start({ [FILE]: MANY + REST });
  await server.open(FILE);
});
afterAll(() => server.close());

const codes = (): ReadonlySet<unknown> => new Set(server.findings(FILE).map(({ code }) => code));

test('what needs the text alone is answered while the model is evaluated', async () => {
  expect(await server.request('textDocument/foldingRange', FILE, {})).toHaveLength(1);
  expect(server.published).toEqual([]);
});

test('what needs the model is told to ask again while one item is calculated', async () => {
  await server.settled();
  await server.edit(FILE, MANY, HEAVY);
  const asked = server.connection.sendRequest('textDocument/hover', {
    textDocument: { uri: server.uri(FILE) },
    position: { line: 0, character: 5 },
  });
  await expect(asked).rejects.toMatchObject({ code: LSPErrorCodes.ContentModified });
});

test('what needs the model is answered in the end, with what can be known', async () => {
  await server.settled();
  expect(codes()).toContain('too-much-work');
  expect(codes()).not.toContain('undetermined');
  expect(await server.request('textDocument/hover', FILE, { position: { line: 0, character: 5 } })).not.toBeNull();
  expect(server.logged).toEqual([]);
});

test('a mended text is judged as if it had always been so', async () => {
  await server.edit(FILE, HEAVY, LIGHT);
  await server.settled();
  expect(codes()).not.toContain('too-much-work');
  expect(server.logged).toEqual([]);
});

test('a text that is replaced before it was evaluated leaves nothing behind', async () => {
  await server.edit(FILE, LIGHT, HEAVY);
  await server.request('textDocument/foldingRange', FILE, {});
  await server.edit(FILE, HEAVY, LIGHT);
  await server.settled();
  expect(codes()).not.toContain('too-much-work');
});
