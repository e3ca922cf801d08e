/** Who follows the files: the client where the server can ask it to, else the server. */
import { renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { TestServer } from '../support/server.js';

const FILES = {
  'craft/project.gus': `use "../house" as House
project Craft "Craft" { revision = "A"   date = 2027-06-01 }
table Pulls = file("data/pulls.txt") { force as N "F [N]" }
material Own "Own" { density = 2 g/cm^3 }
lot L-1 of Own { certificate = file("../certs [1]/L-1.pdf") }
requirement CRF-1 "It shall hold." { check max(for r in Pulls: r.force) <= House.capacity   verify by analysis }
`,
  'craft/data/pulls.txt': 'F [N]\n900\n',
  'house/house.gus': 'let capacity = 1 kN\n',
};

let server: TestServer;
afterEach(async () => {
  expect(server.logged).toEqual([]);
  await server.close();
});

const codes = (): unknown[] => server.findings('craft/project.gus').map(({ code }) => code);

describe('a client that can be asked', () => {
  const asked: string[][] = [];
  beforeEach(async () => {
    asked.length = 0;
    server = await TestServer.start(FILES, {
      capabilities: { workspace: { didChangeWatchedFiles: { dynamicRegistration: true } } },
    });
    server.connection.onRequest(
      'client/registerCapability',
      ({
        registrations: [first],
      }: {
        registrations: { registerOptions: { watchers: { globPattern: string }[] } }[];
      }) => {
        asked.push(first!.registerOptions.watchers.map(({ globPattern }) => globPattern));
        return null;
      },
    );
    server.connection.onRequest('client/unregisterCapability', () => null);
    await server.open('craft/project.gus');
    await server.settled();
  });

  test('tells of sources, of each cited file whatever it is, and of the folders around them', async () => {
    await expect
      .poll(() => asked.at(-1), { timeout: 20_000 })
      .toEqual([
        '**/*.[gG][uU][sS]',
        '**/certs ?1?',
        '**/certs ?1?/L-1.pdf',
        '**/craft',
        '**/craft/data',
        '**/craft/data/pulls.txt',
        '**/house',
      ]);
  });

  test('tells of another file when another is cited', async () => {
    await server.edit('craft/project.gus', 'data/pulls.txt', 'data/other.dat');
    await expect.poll(() => asked.at(-1), { timeout: 20_000 }).toContain('**/craft/data/other.dat');
    expect(asked.at(-1)).not.toContain('**/craft/data/pulls.txt');
  });
});

describe('a client that tells nothing', () => {
  beforeEach(async () => {
    server = await TestServer.start(FILES);
    await server.settled();
  });

  test('the server sees data saved by renaming, a library that changes, a certificate that comes', async () => {
    expect(codes()).toContain('missing-file');
    const data = join(server.folder, 'craft/data/pulls.txt');
    writeFileSync(`${data}.tmp`, 'F [N]\n1900\n');
    renameSync(`${data}.tmp`, data);
    await server.until('craft/project.gus', found => found.some(({ code }) => code === 'failing-margin'));
    writeFileSync(join(server.folder, 'house/house.gus'), 'let capacity = 2 kN\n');
    await server.until('craft/project.gus', found => found.every(({ code }) => code !== 'failing-margin'));
    rmSync(join(server.folder, 'house'), { recursive: true });
    await server.until('craft/project.gus', found => found.some(({ code }) => code === 'library-missing'));
  });
});
