/** A library outside of the folder that is open: nothing is read of it until the user says so. */
import { mkdirSync, mkdtempSync, realpathSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Diagnostic, Location, WorkspaceEdit } from 'vscode-languageserver-types';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { settingsMessage } from '../../server/protocol/messages.js';
import { TestServer } from '../support/server.js';

const CRAFT = `use "../house" as House
project Craft "Craft" { revision = "A"   date = 2027-06-01 }
requirement CRF-1 "It shall hold." { check House.Alloy.E * max(for r in House.Rows: r.f) / (1 N) >= 60 GPa   verify by analysis }
`;
const HOUSE = `project House "House" { revision = "1"   date = 2027-06-01 }
material Alloy "Alloy" { E = 70 GPa }
table Rows = file("data/rows.csv") { f as N "f [N]" }
`;

let place: string;
let server: TestServer;
const uri = (path: string): string => pathToFileURL(join(place, path)).toString();

function write(path: string, text: string): void {
  mkdirSync(dirname(join(place, path)), { recursive: true });
  writeFileSync(join(place, path), text);
}

beforeEach(async () => {
  place = realpathSync(mkdtempSync(join(tmpdir(), 'gusset-outside-')));
  write('craft/craft.gus', CRAFT);
  write('house/house.gus', HOUSE);
  write('house/data/rows.csv', 'f [N]\n1\n');
  write('secret/secret.gus', 'let secret = 1');
  server = await TestServer.startIn(
    join(place, 'craft'),
    { 'craft.gus': CRAFT },
    { capabilities: { workspace: { workspaceFolders: true } } },
  );
  await server.open('craft.gus');
  await server.settled();
});
afterEach(async () => {
  expect(server.logged).toEqual([]);
  await server.close();
  rmSync(place, { recursive: true });
});

const errors = (found: readonly Diagnostic[]): unknown[] =>
  found.filter(({ severity }) => severity === 1).map(({ code }) => code);
const clean = (): Promise<unknown> => server.until('craft.gus', found => errors(found).length === 0);
const allow = (...paths: string[]): Promise<void> =>
  server.tell(settingsMessage.method, { libraryFolders: paths.map(path => join(place, path)) });
const openBeside = (added: string[], removed: string[] = []): Promise<void> => {
  const named = (paths: string[]) => paths.map(path => ({ uri: uri(path), name: path }));
  return server.tell('workspace/didChangeWorkspaceFolders', {
    event: { added: named(added), removed: named(removed) },
  });
};

test('is told, with what to do about it', () => {
  const [found] = server.findings('craft.gus').filter(({ code }) => code === 'library-missing');
  expect(found!.message).toContain(join(place, 'house'));
  expect(found!.message).toContain('gusset.libraryFolders');
});

test('is read where the setting names its folder, or one around it, until it does no more', async () => {
  await allow('secret');
  await server.settled();
  expect(errors(server.findings('craft.gus'))).toContain('library-missing');
  for (const folder of ['house', '']) {
    await allow(folder);
    await clean();
    await allow();
    await server.until('craft.gus', found => errors(found).includes('library-missing'));
  }
});

test('a link in an allowed folder leads nowhere else', async () => {
  rmSync(join(place, 'house'), { recursive: true });
  symlinkSync(join(place, 'secret'), join(place, 'house'));
  mkdirSync(join(place, 'empty'));
  await allow('empty', 'house/..gone');
  await server.settled();
  expect(errors(server.findings('craft.gus'))).toContain('library-missing');
});

test('is read where its folder is open as well, and edits, findings and names go across', async () => {
  await openBeside(['house']);
  await clean();
  const house = uri('house/house.gus');
  const open = (text: string, version: number): Promise<void> =>
    version === 1
      ? server.tell('textDocument/didOpen', { textDocument: { uri: house, languageId: 'gusset', version, text } })
      : server.tell('textDocument/didChange', { textDocument: { uri: house, version }, contentChanges: [{ text }] });
  await open(HOUSE, 1);
  await open(HOUSE.replace('70 GPa', '50 GPa'), 2);
  await server.until('craft.gus', found => errors(found).includes('failing-margin'));
  await open(HOUSE.replace('70 GPa', '70 GPa + 2 mm'), 3);
  await server.settled();
  const told = server.published.findLast(entry => entry.uri === house)!.diagnostics;
  expect(errors(told)).toEqual(['cannot-add']);
  await open(HOUSE, 4);
  await clean();
  const definition = await server.request<Location>('textDocument/definition', 'craft.gus', {
    position: server.position('craft.gus', 'House.Alloy', 8),
  });
  expect(definition.uri).toBe(house);
  await openBeside([], ['house']);
  await server.until('craft.gus', found => errors(found).includes('library-missing'));
});

test('what is not opened as a folder keeps its names', async () => {
  await allow('house');
  await clean();
  await expect(
    server.request<WorkspaceEdit>('textDocument/rename', 'craft.gus', {
      position: server.position('craft.gus', 'House.Alloy', 8),
      newName: 'Metal',
    }),
  ).rejects.toThrow('change it there');
});

test('its changes on disk are followed, data as well', async () => {
  await allow('house');
  await clean();
  write('house/data/rows.csv', 'f [N]\n0.5\n');
  await server.until('craft.gus', found => errors(found).includes('failing-margin'));
  write('house/data/rows.csv', 'f [N]\n2\n');
  await clean();
  write('house/house.gus', HOUSE.replace('70 GPa', '20 GPa'));
  await server.until('craft.gus', found => errors(found).includes('failing-margin'));
});
