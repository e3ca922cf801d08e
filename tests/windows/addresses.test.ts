/** The server over a socket, asked by each way in which editors write the address of a file. */
import { realpathSync } from 'node:fs';
import { cp, mkdtemp } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { onWindows } from '../support/machine.js';
import { TestServer } from '../support/server.js';

const spellings: Readonly<Record<string, (address: string) => string>> = {
  'as it stands': address => address,
  'with dashes in percents': address => address.replaceAll('-', '%2D'),
  ...(onWindows
    ? {
        'with a small letter': address =>
          address.replace(/^file:\/\/\/(\w):/, (_, drive) => `file:///${drive.toLowerCase()}:`),
        'with a colon in percents': address =>
          address.replace(/^file:\/\/\/(\w):/, (_, drive) => `file:///${drive.toLowerCase()}%3A`),
        'with a colon in percents and a large letter': address => address.replace(/^file:\/\/\/(\w):/, 'file:///$1%3A'),
      }
    : {}),
};

test.each(Object.entries(spellings))('%s', async (_, spell) => {
  const folder = realpathSync(await mkdtemp(join(tmpdir(), 'gusset-address-')));
  await cp('examples/cordgrass', folder, { recursive: true });
  const server = await TestServer.startIn(folder, undefined, { socket: true, spell });
  try {
    expect(server.capabilities).toHaveProperty('textDocumentSync');
    await server.open('thermal.gus');
    const before = await server.until('thermal.gus', findings => findings.length > 0, 1);
    expect(before.map(({ code }) => code)).toContain('failing-margin');
    const version = await server.edit('thermal.gus', 'let ', 'let doubled = 2 mm + 3 kg\nlet ');
    await server.until('thermal.gus', findings => findings.some(({ code }) => code === 'cannot-add'), version);
    // A file that is not open is found below the folder, and told once.
    await server.settled();
    expect(server.findings('structure.gus')).not.toEqual([]);
    expect(new Set(server.published.map(({ uri }) => decodeURIComponent(uri).toLowerCase())).size).toBe(
      new Set(server.published.map(({ uri }) => uri)).size,
    );
    expect(server.logged).toEqual([]);
  } finally {
    await server.close();
  }
});
