import { describe, expect, test } from 'vitest';
import type {
  CallHierarchyIncomingCall,
  CallHierarchyItem,
  CallHierarchyOutgoingCall,
  DocumentHighlight,
  DocumentSymbol,
  Location,
  TypeHierarchyItem,
} from 'vscode-languageserver-types';
import { TestServer } from '../support/server.js';
import { useServer } from '../support/suite-server.js';

const FILE = 'a.gus';
const TEXT = `project Demo "Demo" { date = 2027-01-01 }
load Pull "Pull" { force = 900 N   temperature = 20 degC .. 40 degC }
material Plate "Plate" { ultimate = [0 degC -> 120 MPa, 50 degC -> 100 MPa] basis A source "data sheet" }
lot L-1 of Plate { certificate = file("L-1.pdf") }
kind Strap "Strap" {
  given width: length
  material = Plate from L-1
  let stress(L) = L.force / (width * 1 mm)
  requirement STR-1 "The strap {name} shall hold." {
    check ultimate for L in [Pull], T in knots(L.temperature): stress(L) <= material.ultimate(T)
    verify by analysis
  }
}
part S1 "First strap" is Strap { width = 10 mm }
part S2 "Second strap" is Strap { width = 8 mm }
part Frame "Frame" {
  material = Plate
  t = 2 mm
  let area = t * 10 mm
  let double = 2 * area
  requirement FRM-1 "The frame shall be at least {least} in area." {
    let least = 15 mm^2
    check size: area >= least
    check ultimate for L in [Pull]: L.force / area <= material.ultimate(20 degC)
    verify by analysis, inspection
  }
}
article SN-1 of Frame { t = 2.1 mm }
evidence TR-1 for FRM-1 { method = inspection   date = 2026-10-01   result = pass }
waiver WV-1 for FRM-1 { reason = "thin"   accepts margin >= -0.1 }
configuration Thin "Thin" { Frame.t = 1 mm   study }
`;

describe('navigation', () => {
  let server: TestServer;
  useServer(
    () => TestServer.start({ [FILE]: TEXT }),
    [FILE],
    started => {
      server = started;
    },
  );
  const at = (needle: string, offset = 0): object => ({ position: server.position(FILE, needle, offset) });
  const lineOf = (location: Location): string => TEXT.split('\n')[location.range.start.line]!.trim();
  const locations = async (method: string, needle: string, offset = 0): Promise<string[]> =>
    (await server.request<Location[]>(method, FILE, at(needle, offset))).map(lineOf);

  test('a type: kind of a part, material of a part and of a value, part of an article, loads of a swept name', async () => {
    expect(await locations('textDocument/typeDefinition', 'S1 "First')).toEqual(['kind Strap "Strap" {']);
    expect(await locations('textDocument/typeDefinition', 'Frame "Frame"')).toEqual([TEXT.split('\n')[2]]);
    expect(await locations('textDocument/typeDefinition', 'ultimate(20', 2)).toEqual([TEXT.split('\n')[2]]);
    expect(await locations('textDocument/typeDefinition', 'SN-1')).toEqual(['part Frame "Frame" {']);
    expect(await locations('textDocument/typeDefinition', 'L-1 of')).toEqual([TEXT.split('\n')[2]]);
    expect(await locations('textDocument/typeDefinition', 'L.force / area')).toEqual([TEXT.split('\n')[1]]);
    expect(await locations('textDocument/typeDefinition', 'L in [Pull]: L.force')).toEqual([TEXT.split('\n')[1]]);
  });

  test('what makes a thing real', async () => {
    expect(await locations('textDocument/implementation', 'FRM-1')).toEqual([
      'check size: area >= least',
      'check ultimate for L in [Pull]: L.force / area <= material.ultimate(20 degC)',
      TEXT.split('\n')[28],
      TEXT.split('\n')[29],
    ]);
    expect(await locations('textDocument/implementation', 'Strap "Strap"')).toEqual([
      'part S1 "First strap" is Strap { width = 10 mm }',
      'part S2 "Second strap" is Strap { width = 8 mm }',
    ]);
    expect(await locations('textDocument/implementation', 'Pull "Pull"')).toEqual([
      'check ultimate for L in [Pull], T in knots(L.temperature): stress(L) <= material.ultimate(T)',
      'check ultimate for L in [Pull]: L.force / area <= material.ultimate(20 degC)',
    ]);
    expect(await locations('textDocument/implementation', 'Plate "Plate"')).toEqual([
      'lot L-1 of Plate { certificate = file("L-1.pdf") }',
      'part S1 "First strap" is Strap { width = 10 mm }',
      'part S2 "Second strap" is Strap { width = 8 mm }',
      'part Frame "Frame" {',
    ]);
    expect(await locations('textDocument/implementation', 'Frame "Frame"')).toEqual([
      'article SN-1 of Frame { t = 2.1 mm }',
    ]);
  });

  test('definition and declaration lead to the same place', async () => {
    const definition = await server.request<Location>('textDocument/definition', FILE, at('area >= least'));
    expect(lineOf(definition)).toBe('let area = t * 10 mm');
    expect(await server.request('textDocument/declaration', FILE, at('area >= least'))).toEqual(definition);
  });

  test('fields of a load are found where a formula reads them of its parameter', async () => {
    const references = await server.request<Location[]>('textDocument/references', FILE, {
      ...at('force = 900'),
      context: { includeDeclaration: true },
    });
    expect(references.map(lineOf)).toEqual([
      TEXT.split('\n')[1],
      'let stress(L) = L.force / (width * 1 mm)',
      'check ultimate for L in [Pull]: L.force / area <= material.ultimate(20 degC)',
    ]);
  });

  test('highlights tell reading from writing', async () => {
    const highlights = await server.request<DocumentHighlight[]>(
      'textDocument/documentHighlight',
      FILE,
      at('t = 2 mm'),
    );
    expect(
      highlights.map(({ range, kind }) => [TEXT.split('\n')[range.start.line]!.trim().slice(0, 12), kind]),
    ).toEqual([
      ['t = 2 mm', 3],
      ['let area = t', 2],
      ['configuratio', 3],
    ]);
  });

  test('symbols carry status and margin', async () => {
    const symbols = await server.request<DocumentSymbol[]>('textDocument/documentSymbol', FILE, {});
    const frame = symbols.find(symbol => symbol.name === 'Frame')!;
    // 20 mm² against 15 mm²: 0.333; 900 N / 20 mm² = 45 MPa against 112 MPa.
    expect(frame.children!.find(symbol => symbol.name === 'FRM-1')!.detail).toBe(
      'unverified +0.33 · The frame shall be at least  in area.',
    );
    const found = await server.ask<{ name: string; containerName: string }[]>('workspace/symbol', {
      query: 'str-1',
    });
    expect(found.map(({ name, containerName }) => [name, containerName])).toEqual([['STR-1', 'Strap']]);
    const frm = await server.ask<{ name: string; containerName: string }[]>('workspace/symbol', {
      query: 'frm-1',
    });
    expect(frm.map(({ name, containerName }) => [name, containerName])).toEqual([
      ['FRM-1', 'unverified +0.33 · Frame'],
    ]);
  });

  const prepare = (kind: 'Call' | 'Type', needle: string, offset = 0): Promise<never[]> =>
    server.request<never[]>(`textDocument/prepare${kind}Hierarchy`, FILE, at(needle, offset));
  const incoming = (item: CallHierarchyItem): Promise<CallHierarchyIncomingCall[]> =>
    server.ask('callHierarchy/incomingCalls', { item });
  const outgoing = (item: CallHierarchyItem): Promise<CallHierarchyOutgoingCall[]> =>
    server.ask('callHierarchy/outgoingCalls', { item });

  test('what reads a value, step by step up to the checks', async () => {
    const [t] = (await prepare('Call', 't = 2 mm')) as CallHierarchyItem[];
    expect(t).toMatchObject({ name: 't', detail: 'Frame' });
    const first = await incoming(t!);
    expect(first.map(call => call.from.name)).toEqual(['area']);
    expect(server.textAt(FILE, first[0]!.fromRanges[0]!)).toBe('t');
    const second = await incoming(first[0]!.from);
    expect(second.map(call => [call.from.name, call.from.detail])).toEqual([
      ['double', 'Frame'],
      ['FRM-1 · size', 'unverified +0.33'],
      ['FRM-1 · ultimate', 'unverified +0.33'],
    ]);
  });

  test('what a check reads, formulas among it', async () => {
    const [size] = (await prepare('Call', 'check ultimate for L in [Pull]:', 2)) as CallHierarchyItem[];
    expect(size!.name).toBe('FRM-1 · ultimate');
    expect((await outgoing(size!)).map(call => `${call.to.detail}.${call.to.name}`).sort()).toEqual([
      'Frame.area',
      'Plate.ultimate',
      'Pull.force',
    ]);
    const [stress] = (await prepare('Call', 'stress(L) =')) as CallHierarchyItem[];
    expect(stress!.name).toBe('stress(L)');
    expect((await outgoing(stress!)).map(call => call.to.name).sort()).toEqual(['force']);
    expect((await incoming(stress!)).map(call => call.from.name)).toEqual(['STR-1 · ultimate']);
    expect(((await prepare('Call', 'FRM-1')) as CallHierarchyItem[]).map(item => item.name)).toEqual([
      'FRM-1 · size',
      'FRM-1 · ultimate',
    ]);
  });

  test('from a kind to its parts and back, from a part to its articles', async () => {
    const [kind] = (await prepare('Type', 'Strap "Strap"')) as TypeHierarchyItem[];
    const parts = await server.ask<TypeHierarchyItem[]>('typeHierarchy/subtypes', { item: kind });
    expect(parts.map(item => item.name)).toEqual(['S1', 'S2']);
    expect(
      (await server.ask<TypeHierarchyItem[]>('typeHierarchy/supertypes', { item: parts[0] })).map(item => item.name),
    ).toEqual(['Strap']);
    const [frame] = (await prepare('Type', 'Frame "Frame"')) as TypeHierarchyItem[];
    expect(
      (await server.ask<TypeHierarchyItem[]>('typeHierarchy/subtypes', { item: frame })).map(item => item.name),
    ).toEqual(['SN-1']);
    expect(await prepare('Type', 'area = t')).toBeNull();
  });
});

describe('navigation in Cordgrass', () => {
  let server: TestServer;
  useServer(
    () => TestServer.startExample('cordgrass'),
    ['structure.gus', 'joints.gus'],
    started => {
      server = started;
    },
  );

  test('a formula of the library is called from where it is used', async () => {
    const [formula] = await server.request<CallHierarchyItem[]>('textDocument/prepareCallHierarchy', 'structure.gus', {
      position: server.position('structure.gus', 'bending_stress(', 3),
    });
    expect(formula!.uri).toMatch(/^gusset:.*beams\.gus$/);
    const calls = await server.ask<CallHierarchyIncomingCall[]>('callHierarchy/incomingCalls', {
      item: formula,
    });
    expect(calls.map(call => `${call.from.detail}.${call.from.name}`)).toContain(
      'Bus.Primary.BasePlate.STR-012.sigma(L)',
    );
  });

  test('the joints of the kind', async () => {
    const instances = await server.request<Location[]>('textDocument/implementation', 'joints.gus', {
      position: server.position('joints.gus', 'BoltedJoint'),
    });
    expect(instances).toHaveLength(6);
  });

  test('symbols of the whole workspace with status', async () => {
    const container = async (): Promise<string> =>
      (
        await server.ask<{ name: string; containerName: string }[]>('workspace/symbol', {
          query: 'STR-016',
        })
      )[0]!.containerName;
    // The stresses are read from a file, which comes a moment later.
    await expect.poll(container).toMatch(/^unverified \+\d\.\d\d · Bus\.Primary\.TopDeck$/);
  });
});
