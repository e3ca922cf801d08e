/** A library beside the project that uses it: findings, names and edits go across. */
import { rename, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Diagnostic, Location, WorkspaceEdit } from 'vscode-languageserver-types';
import { beforeEach, describe, expect, test } from 'vitest';
import { TestServer } from '../support/server.js';
import { useServer } from '../support/suite-server.js';

const CRAFT = `project Craft "Craft" { revision = "A"   date = 2027-01-01 }
use "../house" as House
use "../node_modules/bolts" as Bolts
part Left "Left" is Lug { width = 10 mm   t = Bolts.head }
let shown = House.Alloy.E
requirement CRF-1 "The alloy shall be stiff." {
  check Alloy.E >= 60 GPa
  verify by analysis
}
`;
const HOUSE = `let pull = 900 N
material Alloy "Alloy" { E = 70 GPa }
kind Lug "Lug" {
  given width: length, t: length
  requirement LUG-A "The {name} shall carry the pull." {
    check ultimate: pull / (width * t) <= 100 MPa
    verify by analysis
  }
}
`;
const BOLTS = 'project Bolts "Bolts" { revision = "7" }\nlet head = 2 mm\n';
const FILES = {
  'craft/project.gus': CRAFT,
  'house/house.gus': HOUSE,
  'node_modules/bolts/bolts.gus': BOLTS,
};

const codes = (diagnostics: readonly Diagnostic[]): unknown[] => diagnostics.map(({ code }) => code);
const failing = (diagnostics: readonly Diagnostic[]): boolean => codes(diagnostics).includes('failing-margin');

describe('a project and its libraries', () => {
  let server: TestServer;
  useServer(
    () => TestServer.start(FILES),
    ['craft/project.gus', 'house/house.gus'],
    started => {
      server = started;
    },
  );

  test('all is known, wherever sources are looked for', () => {
    expect(codes(server.findings('craft/project.gus'))).toEqual(['unused-name']);
    expect(server.findings('house/house.gus')).toEqual([]);
  });

  test('go to definition leads into the library', async () => {
    for (const [needle, at] of [
      ['House.Alloy.E', 8],
      ['Alloy.E >=', 1],
    ] as const) {
      const found = await server.request<Location>('textDocument/definition', 'craft/project.gus', {
        position: server.position('craft/project.gus', needle, at),
      });
      expect([found.uri, server.textAt('house/house.gus', found.range)]).toEqual([
        server.uri('house/house.gus'),
        'Alloy',
      ]);
    }
    const elsewhere = await server.request<Location>('textDocument/definition', 'craft/project.gus', {
      position: server.position('craft/project.gus', 'Bolts.head', 7),
    });
    expect(elsewhere.uri).toBe(server.uri('node_modules/bolts/bolts.gus'));
  });

  test('hover tells a value of the library', async () => {
    const hover = await server.request<{ contents: { value: string } }>('textDocument/hover', 'craft/project.gus', {
      position: server.position('craft/project.gus', 'House.Alloy.E', 12),
    });
    expect(hover.contents.value).toContain('70 GPa');
  });

  test.each([
    ['the library', 'house/house.gus', 'Alloy "Alloy"'],
    ['the project', 'craft/project.gus', 'Alloy.E >='],
  ])('references from %s are in both', async (_, path, needle) => {
    const found = await server.request<Location[]>('textDocument/references', path, {
      position: server.position(path, needle, 1),
      context: { includeDeclaration: true },
    });
    expect(found.map(({ uri, range }) => `${uri.slice(server.uri('').length)}:${range.start.line}`).sort()).toEqual([
      '/craft/project.gus:4',
      '/craft/project.gus:6',
      '/house/house.gus:1',
    ]);
  });

  test.each([
    ['the library', 'house/house.gus', 'Alloy "Alloy"'],
    ['the project', 'craft/project.gus', 'Alloy.E >='],
  ])('rename from %s changes both', async (_, path, needle) => {
    const { changes } = await server.request<WorkspaceEdit>('textDocument/rename', path, {
      position: server.position(path, needle, 1),
      newName: 'Metal',
    });
    expect(server.edited('craft/project.gus', changes![server.uri('craft/project.gus')]!)).toBe(
      CRAFT.replaceAll('Alloy', 'Metal'),
    );
    expect(server.edited('house/house.gus', changes![server.uri('house/house.gus')]!)).toBe(
      HOUSE.replace('material Alloy', 'material Metal'),
    );
  });

  test('what is not yours keeps its name', async () => {
    await expect(
      server.request('textDocument/rename', 'craft/project.gus', {
        position: server.position('craft/project.gus', 'Bolts.head', 7),
        newName: 'top',
      }),
    ).rejects.toThrow('change it there');
  });

  test('an edit of the library that is not saved reaches the project, and back', async () => {
    await server.edit('house/house.gus', '70 GPa', '50 GPa');
    await server.until('craft/project.gus', failing);
    await server.edit('house/house.gus', '50 GPa', '70 GPa');
    await server.until('craft/project.gus', found => !failing(found));
  });

  test('a requirement of a kind is found where the kind is written', async () => {
    await server.edit('craft/project.gus', 'width = 10 mm', 'width = 1 mm');
    await server.until('house/house.gus', failing);
    await server.edit('craft/project.gus', 'width = 1 mm', 'width = 10 mm');
    await server.until('house/house.gus', found => !failing(found));
  });

  test('a use that is broken and mended', async () => {
    await server.edit('craft/project.gus', 'use "../house" as', 'use "../hause" as');
    await server.until('craft/project.gus', found => codes(found).includes('library-missing'));
    await server.edit('craft/project.gus', '"../hause"', '"../house"');
    await server.until('craft/project.gus', found => !codes(found).includes('library-missing'));
  });
});

describe('files of a library that change on disk', () => {
  let server: TestServer;
  const changed = (path: string): Promise<void> =>
    server.tell('workspace/didChangeWatchedFiles', { changes: [{ uri: server.uri(path), type: 2 }] });

  useServer(
    () => TestServer.start(FILES),
    ['craft/project.gus'],
    started => {
      server = started;
    },
  );
  beforeEach(() => server.settled());

  test.each(['house/house.gus', 'node_modules/bolts/bolts.gus'])('%s: gone and back', async path => {
    await rename(join(server.folder, path), join(server.folder, 'aside'));
    await changed(path);
    await server.until('craft/project.gus', found => codes(found).includes('library-missing'));
    await rename(join(server.folder, 'aside'), join(server.folder, path));
    await changed(path);
    await server.until('craft/project.gus', found => !codes(found).includes('library-missing'));
  });

  test('saved by other programs', async () => {
    await writeFile(join(server.folder, 'node_modules/bolts/bolts.gus'), BOLTS.replace('2 mm', '0.2 mm'));
    await changed('node_modules/bolts/bolts.gus');
    await server.until('house/house.gus', failing);
    await writeFile(join(server.folder, 'node_modules/bolts/bolts.gus'), BOLTS);
    await changed('node_modules/bolts/bolts.gus');
    await server.until('house/house.gus', found => !failing(found));
  });
});
