import { describe, expect, test } from 'vitest';
import { TestServer } from '../support/server.js';
import { useServer } from '../support/suite-server.js';

const PROJECT = `project Lug "Lug" {
  revision = "A"
  date = 2027-01-01
}
load Pull "Pull" { force = 900 N   temperature = 20 degC .. 40 degC }
material Plate "Plate" {
  ultimate = [0 degC -> 120 MPa, 50 degC -> 100 MPa] basis A source "data sheet"
}
`;
const PART = `/// The lug that carries the strap.
part Lug "Lug" {
  material = Plate
  width = 10 mm
  t = 1.0 mm
  let stress(L) = L.force / (width * t)
  requirement LUG-01 "The lug shall carry the pull without rupture." {
    check ultimate for L in [Pull], T in knots(L.temperature): stress(L) <= material.ultimate(T)
    verify by analysis
  }
}
`;

describe('the server over its protocol', () => {
  let server: TestServer;
  useServer(
    () => TestServer.start({ 'project.gus': PROJECT, 'lug.gus': PART }),
    ['lug.gus'],
    started => {
      server = started;
    },
  );

  const failing = (diagnostics: readonly { code?: unknown }[]): boolean =>
    diagnostics.some(diagnostic => diagnostic.code === 'failing-margin');

  test('an edit turns a passing margin into a failing one and back', async () => {
    await server.until('lug.gus', diagnostics => !failing(diagnostics), 1);
    const thinner = await server.edit('lug.gus', 't = 1.0 mm', 't = 0.8 mm');
    const found = await server.until('lug.gus', failing, thinner);
    const margin = found.find(diagnostic => diagnostic.code === 'failing-margin')!;
    // By hand: 900 N / (10 mm × 0.8 mm) = 112.5 MPa against 104 MPa at 40 °C: 104/112.5 − 1 = −0.0756.
    expect(margin.message).toContain('112.5 MPa');
    expect(margin.message).toContain('104 MPa');
    expect(margin.message).toContain('-0.08');
    expect(margin.message).toContain('40 °C');
    expect(margin.severity).toBe(1);
    const back = await server.edit('lug.gus', 't = 0.8 mm', 't = 1.0 mm');
    await server.until('lug.gus', diagnostics => !failing(diagnostics), back);
  });

  test('findings in another file follow an edit', async () => {
    await server.open('project.gus');
    await server.edit('project.gus', '900 N', '1300 N');
    await server.until('lug.gus', failing);
    await server.edit('project.gus', '1300 N', '900 N');
    await server.until('lug.gus', diagnostics => !failing(diagnostics));
  });

  test('a syntax error leaves the rest alive and goes away with its mending', async () => {
    const version = await server.edit('lug.gus', 'width = 10 mm', 'width = ');
    const found = await server.until(
      'lug.gus',
      diagnostics => diagnostics.some(diagnostic => diagnostic.code === 'syntax' || diagnostic.severity === 1),
      version,
    );
    expect(found.length).toBeGreaterThan(0);
    const mended = await server.edit('lug.gus', 'width = ', 'width = 10 mm');
    await server.until('lug.gus', diagnostics => diagnostics.every(diagnostic => diagnostic.severity !== 1), mended);
  });

  test('the margin stands behind its check', async () => {
    const hints = await server.request<{ label: string }[]>('textDocument/inlayHint', 'lug.gus', {
      range: { start: { line: 0, character: 0 }, end: { line: 99, character: 0 } },
    });
    expect(hints.map(hint => hint.label)).toEqual(['+0.15 · Pull, 40 °C']);
  });

  test('a hover works the number out', async () => {
    const hover = await server.request<{ contents: { value: string } }>('textDocument/hover', 'lug.gus', {
      position: server.position('lug.gus', 'check ultimate', 2),
    });
    expect(hover.contents.value).toContain('+0.15');
    expect(hover.contents.value).toContain('90 MPa');
    expect(hover.contents.value).toContain('104 MPa');
    const status = await server.request<{ contents: { value: string } }>('textDocument/hover', 'lug.gus', {
      position: server.position('lug.gus', 'LUG-01', 2),
    });
    expect(status.contents.value).toContain('verified');
  });

  test('definition, references and rename agree', async () => {
    const at = { position: server.position('lug.gus', 'width * t', 1) };
    const definition = await server.request<{ uri: string; range: { start: unknown } }>(
      'textDocument/definition',
      'lug.gus',
      at,
    );
    expect(definition).toMatchObject({
      uri: server.uri('lug.gus'),
      range: { start: server.position('lug.gus', 'width =') },
    });
    const references = await server.request<unknown[]>('textDocument/references', 'lug.gus', {
      ...at,
      context: { includeDeclaration: true },
    });
    expect(references).toHaveLength(2);
    const edit = await server.request<{ changes: Record<string, { newText: string }[]> }>(
      'textDocument/rename',
      'lug.gus',
      { ...at, newName: 'breadth' },
    );
    expect(edit.changes[server.uri('lug.gus')]!.map(change => change.newText)).toEqual(['breadth', 'breadth']);
    const material = await server.request<{ changes: Record<string, unknown[]> }>('textDocument/rename', 'lug.gus', {
      position: server.position('lug.gus', '= Plate', 3),
      newName: 'Sheet',
    });
    expect(Object.keys(material.changes).sort()).toEqual([server.uri('lug.gus'), server.uri('project.gus')].sort());
    await expect(server.request('textDocument/rename', 'lug.gus', { ...at, newName: '9 lives' })).rejects.toThrow(
      /no name|no label/,
    );
  });

  test('symbols of a document and of the workspace', async () => {
    const symbols = await server.request<{ name: string; children: { name: string }[] }[]>(
      'textDocument/documentSymbol',
      'lug.gus',
      {},
    );
    expect(symbols.map(symbol => symbol.name)).toEqual(['Lug']);
    expect(symbols[0]!.children.map(child => child.name)).toContain('LUG-01');
    const found = await server.ask<{ name: string; containerName: string }[]>('workspace/symbol', {
      query: 'LUG-01',
    });
    expect(found).toMatchObject([{ name: 'LUG-01', containerName: 'verified +0.15 · Lug' }]);
  });

  test('formatting gives edits that keep the meaning', async () => {
    const version = await server.edit('lug.gus', 'width = 10 mm', 'width=10 mm');
    await server.until('lug.gus', () => true, version).catch(() => undefined);
    const edits = await server.request<{ newText: string }[]>('textDocument/formatting', 'lug.gus', {
      options: { tabSize: 2, insertSpaces: true },
    });
    expect(edits.length).toBeGreaterThan(0);
    await server.edit('lug.gus', 'width=10 mm', 'width = 10 mm');
  });

  test('any request at any place is answered', async () => {
    const text = server.texts.get('lug.gus')!;
    for (let line = 0; line < text.split('\n').length; line++) {
      for (const character of [0, 5, 14, 40, 400]) {
        for (const method of ['textDocument/hover', 'textDocument/definition', 'textDocument/references']) {
          await server.request(method, 'lug.gus', {
            position: { line, character },
            context: { includeDeclaration: true },
          });
        }
      }
    }
    const hints = await server.request<unknown[]>('textDocument/inlayHint', 'lug.gus', {
      range: { start: { line: 0, character: 0 }, end: { line: 99, character: 0 } },
    });
    expect(hints).toHaveLength(1);
  });
});

describe('data files', () => {
  test('a number that comes from a file is judged when the file was read, and a missing file is a finding', async () => {
    const server = await TestServer.start({
      'project.gus':
        'project P "P" { date = 2027-01-01 }\ntable Gone = file("gone.csv") { x as mm "X" }\ntable Run = file("run.csv") { vm as MPa "VM" }\nrequirement R-1 "The stress shall stay below 100 MPa." {\n  check max(Run.vm) <= 100 MPa\n  verify by analysis\n}\n',
      'run.csv': 'VM [MPa]\n80\n120\n',
    });
    try {
      const found = await server.until(
        'project.gus',
        diagnostics =>
          diagnostics.some(diagnostic => diagnostic.code === 'failing-margin') &&
          diagnostics.some(diagnostic => diagnostic.code === 'data-file'),
      );
      expect(found.find(diagnostic => diagnostic.code === 'failing-margin')!.message).toContain('120 MPa');
      expect(found.find(diagnostic => diagnostic.code === 'data-file')!.message).toContain('gone.csv');
    } finally {
      await server.close();
    }
  });
});
