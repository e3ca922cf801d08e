/** A source in another encoding is told in the editor as in the terminal: its requirements don't vanish. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, expect, it } from 'vitest';
import { gusset } from '../support/command-line.js';
import { TestServer } from '../support/server.js';

const GOOD = 'project Tide "Tide" { date = 2027-01-01 }\nrequirement R-1 "It shall hold." { check 1 N <= 2 N }\n';
const OTHER = 'requirement R-2 "It shall hold at 20 \u00b0C." { check 3 N <= 2 N }\n';
let folder = '';
let server: TestServer;
afterEach(async () => {
  await server.close();
  rmSync(folder, { recursive: true, force: true });
});

it.each([
  ['Latin-1', Buffer.from(OTHER, 'latin1'), 'would be "\u00b0" in Latin-1. Save the file as UTF-8.'],
  ['UTF-16', Buffer.from(`\ufeff${OTHER}`, 'utf16le'), 'is written in UTF-16. Save it as UTF-8.'],
  ['an archive', Buffer.from('PK\u0003\u0004', 'latin1'), 'is a zip archive'],
])('%s', async (_, bytes, said) => {
  folder = mkdtempSync(join(tmpdir(), 'gusset-unread-'));
  writeFileSync(join(folder, 'good.gus'), GOOD);
  writeFileSync(join(folder, 'other.gus'), bytes);
  const told = (
    JSON.parse(gusset(['check', folder, '--format', 'json']).printed) as {
      diagnostics: { file: string; code: string; message: string }[];
    }
  ).diagnostics;
  const [inTerminal] = told.filter(({ code }) => code === 'unreadable-file');
  expect(inTerminal!.message).toContain(said);
  server = await TestServer.startIn(folder);
  await server.until('other.gus', found => found.some(({ message }) => message === inTerminal!.message));
  writeFileSync(join(folder, 'other.gus'), OTHER);
  await server.tell('workspace/didChangeWatchedFiles', { changes: [{ uri: server.uri('other.gus'), type: 2 }] });
  await server.until('other.gus', found => found.some(({ message }) => String(message).startsWith('R-2')));
  expect(server.findings('other.gus').filter(({ code }) => code === 'unreadable-file')).toEqual([]);
});
