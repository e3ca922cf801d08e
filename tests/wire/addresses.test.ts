/** Documents keep their place however a client spells their address, and whatever links lead to them. */
import { mkdir, mkdtemp, realpath, rm, symlink, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Diagnostic } from 'vscode-languageserver-types';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { isInFolder, normalAddress } from '../../server/lsp/addresses.js';
import { TestServer } from '../support/server.js';

const LUG = 'requirement LUG-1 "The lug shall hold." {\n  check ultimate: pull <= 100 MPa\n  verify by analysis\n}\n';
const LOADS = 'project Lug "Lug" { revision = "A"   date = 2027-01-01 }\nlet pull = 90 MPa\n';

describe('spellings', () => {
  test.each([
    ['file:///C:/craft/a.gus', 'file:///c%3A/craft/a.gus'],
    ['file:///C%3A/craft/a.gus', 'file:///c:/craft/a.gus'],
    ['file://SERVER/share/a.gus', 'file://server/share/a.gus'],
    ['file:///craft/st%C3%BCck%20a.gus', 'file:///craft/st%c3%bcck a.gus'],
    ['file:///craft/(a)+b.gus', 'file:///craft/%28a%29%2Bb.gus'],
    ['vscode-vfs://GitHub/o/r/a.gus', 'vscode-vfs://github/o/r/a.gus'],
    ['file:///craft/', 'file:///craft'],
    ['file:///', 'file:///'],
  ])('%s is %s', (one, other) => {
    expect(normalAddress(one)).toBe(normalAddress(other));
    expect(normalAddress(normalAddress(one))).toBe(normalAddress(one));
  });

  test('a folder holds what stands below it, and nothing beside it', () => {
    expect(isInFolder('file:///craft/a.gus', 'file:///craft')).toBe(true);
    expect(isInFolder('file:///craft2/a.gus', 'file:///craft')).toBe(false);
    expect(isInFolder('file:///a.gus', 'file:///')).toBe(true);
  });
});

/** A client that spells addresses as it likes. */
class Client {
  private version = 1;
  constructor(readonly server: TestServer) {}

  open(uri: string, text: string): Promise<void> {
    return this.server.tell('textDocument/didOpen', {
      textDocument: { uri, languageId: 'gusset', version: this.version, text },
    });
  }

  change(uri: string, text: string): Promise<void> {
    return this.server.tell('textDocument/didChange', {
      textDocument: { uri, version: ++this.version },
      contentChanges: [{ text }],
    });
  }

  close(uri: string): Promise<void> {
    return this.server.tell('textDocument/didClose', { textDocument: { uri } });
  }

  folders(added: readonly string[], removed: readonly string[] = []): Promise<void> {
    const named = (uris: readonly string[]) => uris.map(uri => ({ uri, name: uri }));
    return this.server.tell('workspace/didChangeWorkspaceFolders', {
      event: { added: named(added), removed: named(removed) },
    });
  }

  /** Codes of errors that the client was told last, by the address that it was told. */
  async told(): Promise<Record<string, readonly unknown[]>> {
    await this.server.settled();
    const last = new Map<string, readonly Diagnostic[]>();
    for (const { uri, diagnostics } of this.server.published) last.set(uri, diagnostics);
    const errors = [...last].map(([uri, found]) => [uri, found.filter(({ severity }) => severity === 1)] as const);
    return Object.fromEntries(
      errors.filter(([, found]) => found.length > 0).map(([uri, found]) => [uri, found.map(({ code }) => code)]),
    );
  }
}

const start = async (): Promise<Client> =>
  new Client(await TestServer.start({}, { capabilities: { workspace: { workspaceFolders: true } } }));

describe.each([
  ['a drive', 'file:///C:/craft', 'file:///c%3A/craft', 'file:///c:/craft'],
  ['a drive, the other way round', 'file:///c%3A/craft', 'file:///C:/craft', 'file:///C%3A/craft'],
  ['a share', 'file://SERVER/share', 'file://server/share', 'file://Server/share'],
  ['an encoded name', 'file:///gone/st%C3%BCck', 'file:///gone/stück', 'file:///gone/st%c3%bcck'],
])('%s', (_, folder, open, other) => {
  let client: Client;
  beforeAll(async () => {
    client = await start();
    await client.folders([folder]);
  });
  afterAll(async () => {
    expect(client.server.logged).toEqual([]);
    await client.server.close();
  });

  test('documents that are spelt otherwise are judged together, and edits and requests find them', async () => {
    await client.open(`${folder}/loads.gus`, LOADS);
    await client.open(`${open}/lug.gus`, LUG);
    expect(await client.told()).toEqual({});
    await client.change(`${other}/loads.gus`, LOADS.replace('90', '110'));
    expect(await client.told()).toEqual({ [`${open}/lug.gus`]: ['failing-margin'] });
    const hover = await client.server.ask<{ contents: { value: string } } | null>('textDocument/hover', {
      textDocument: { uri: `${other}/lug.gus` },
      position: { line: 1, character: 19 },
    });
    expect(hover?.contents.value).toContain('110 MPa');
    await client.change(`${open}/loads.gus`, LOADS);
    expect(await client.told()).toEqual({});
  });

  test('nothing stays behind when a document is closed by another address', async () => {
    await client.change(`${open}/loads.gus`, LOADS.replace('90', '110'));
    expect(Object.values(await client.told())).toEqual([['failing-margin']]);
    await client.close(`${other}/lug.gus`);
    expect(await client.told()).toEqual({});
    await client.close(`${other}/loads.gus`);
    expect(await client.told()).toEqual({});
  });
});

describe('links', () => {
  let client: Client;
  let place: string;
  const uri = (path: string): string => pathToFileURL(join(place, path)).toString();
  beforeAll(async () => {
    place = await realpath(await mkdtemp(join(tmpdir(), 'gusset-links-')));
    await mkdir(join(place, 'real/inner'), { recursive: true });
    await writeFile(join(place, 'real/loads.gus'), LOADS);
    await writeFile(join(place, 'real/inner/lug.gus'), LUG.replace('100 MPa', '80 MPa'));
    await symlink(join(place, 'real'), join(place, 'link'));
    client = await start();
  });
  afterAll(async () => {
    expect(client.server.logged).toEqual([]);
    await client.server.close();
    await rm(place, { recursive: true });
  });

  const failing = (path: string) => ({ [uri(path)]: ['failing-margin'] });

  test('a root that is a link is one folder with what it links to, and with a folder inside', async () => {
    await client.folders([uri('link')]);
    expect(await client.told()).toEqual(failing('link/inner/lug.gus'));
    await client.folders([uri('real'), uri('real/inner')]);
    expect(await client.told()).toEqual(failing('link/inner/lug.gus'));
  });

  test('a document of it by any address is the one document', async () => {
    for (const path of ['real/inner/lug.gus', 'link/inner/lug.gus']) {
      await client.open(uri(path), LUG.replace('100 MPa', '70 MPa'));
      expect(await client.told()).toEqual(failing(path));
      await client.change(uri(path), LUG);
      expect(await client.told()).toEqual({});
      await client.close(uri(path));
      expect(await client.told()).toEqual(failing('link/inner/lug.gus'));
    }
  });

  test('what stays open when the link is closed keeps being known', async () => {
    await client.folders([], [uri('link')]);
    expect(await client.told()).toEqual(failing('real/inner/lug.gus'));
    await client.folders([], [uri('real'), uri('real/inner')]);
    expect(await client.told()).toEqual({});
  });
});
