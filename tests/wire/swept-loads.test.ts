/** A name read of whatever load a sweep is at belongs to all of its loads. */
import { expect, test } from 'vitest';
import type { DocumentHighlight, Location, TextEdit } from 'vscode-languageserver-types';
import { TestServer } from '../support/server.js';
import { useServer } from '../support/suite-server.js';

const LOADS = `load Pull "Pull" { force = 900 N   temperature = 20 degC }
load Push "Push" { force = -700 N .. 400 N   temperature = 30 degC }
load Twist "Twist" { force = 100 N   temperature = 30 degC }
load Alone "Alone" { force = 5 N   temperature = 30 degC }
case Both = Pull + Twist
let Cases = [Pull, Push]
configuration Hard "Hard" { Push.force = -900 N .. 400 N   study }
load Shear "Shear" { force = 50 N   temperature = 30 degC }
`;
const PARTS = `project Demo "Demo" { date = 2027-01-01 }
part Lug "Lug" {
  let stress(L) = abs(L.force) / (10 mm^2)
  let doubled(Load) = 2 * stress(Load)
  requirement LUG-1 "The lug shall hold." {
    check ultimate for L in corners(Cases), T in knots(L.temperature): doubled(L) <= 300 MPa
    verify by analysis
  }
  requirement LUG-2 "The lug shall hold both." {
    check ultimate for L in [Both]: L.force <= 3 kN
    verify by analysis
  }
  requirement LUG-3 "The lug shall hold alone." {
    check ultimate for L in [Alone]: L.force <= 3 kN
    verify by analysis
  }
  let largest = max(for L in Cases: abs(L.force))
  let sheared(L) = L.force / (4 mm^2)
}
part Pin "Pin" in Lug { requirement PIN-1 "The pin shall hold." { check for L in [Shear]: sheared(L) <= 300 MPa   verify by analysis } }
part Other "Other" { requirement OTH-1 "The other shall hold." { check for L in [Twist]: Lug.stress(L) <= 300 MPa   verify by analysis } }
`;

let server: TestServer;
useServer(
  () => TestServer.start({ 'loads.gus': LOADS, 'parts.gus': PARTS, 'first.gus': 'let near = Alone.force\n' }),
  ['loads.gus', 'parts.gus'],
  started => {
    server = started;
  },
);

const at = (file: string, needle: string, offset = 0): object => ({ position: server.position(file, needle, offset) });
const lineOf = ({ uri, range }: Location): string =>
  server.texts
    .get(uri.slice(server.uri('').length + 1))!
    .split('\n')
    [range.start.line]!.trim();
const references = async (file: string, needle: string, offset = 0): Promise<string[]> =>
  (
    await server.request<Location[]>('textDocument/references', file, {
      ...at(file, needle, offset),
      context: { includeDeclaration: true },
    })
  ).map(lineOf);

const STRESS = 'let stress(L) = abs(L.force) / (10 mm^2)';
const LARGEST = 'let largest = max(for L in Cases: abs(L.force))';
const BOTH = 'check ultimate for L in [Both]: L.force <= 3 kN';
const [PULL, PUSH, TWIST, ALONE, , , HARD, SHEAR] = LOADS.split('\n') as [
  string,
  string,
  string,
  string,
  string,
  string,
  string,
  string,
];

test('the field of each load is found where a sweep over several reads it, through formulas and where loads act together', async () => {
  expect(await references('loads.gus', 'force = 900')).toEqual([PULL, STRESS, LARGEST, BOTH]);
  expect(await references('loads.gus', 'force = -700')).toEqual([PUSH, HARD, STRESS, LARGEST]);
  expect(await references('loads.gus', 'force = 100')).toEqual([TWIST, STRESS, BOTH]);
  // From a part that is put into another one.
  expect(await references('loads.gus', 'force = 50 N')).toEqual([SHEAR, 'let sheared(L) = L.force / (4 mm^2)']);
  expect(await references('loads.gus', 'force = 5 N')).toEqual([
    ALONE,
    'let near = Alone.force',
    'check ultimate for L in [Alone]: L.force <= 3 kN',
  ]);
});

test('from where it is read, every load is found', async () => {
  expect(await references('parts.gus', 'abs(L.force)', 6)).toEqual([PULL, PUSH, TWIST, HARD, STRESS, LARGEST, BOTH]);
  expect(await references('parts.gus', 'max(for L in Cases: abs(L.force)', 26)).toEqual([
    PULL,
    PUSH,
    HARD,
    STRESS,
    LARGEST,
    BOTH,
  ]);
  expect(
    (
      await server.request<Location[]>(
        'textDocument/definition',
        'parts.gus',
        at('parts.gus', 'max(for L in Cases: abs(L.force)', 26),
      )
    ).map(lineOf),
  ).toEqual([PULL, PUSH]);
  expect(
    lineOf(
      await server.request<Location>('textDocument/definition', 'parts.gus', at('parts.gus', '[Alone]: L.force', 12)),
    ),
  ).toBe(ALONE);
});

test('highlights', async () => {
  const highlighted = async (file: string, needle: string, offset = 0): Promise<(string | number)[][]> =>
    (await server.request<DocumentHighlight[]>('textDocument/documentHighlight', file, at(file, needle, offset))).map(
      ({ range, kind }) => [server.texts.get(file)!.split('\n')[range.start.line]!.trim(), kind!],
    );
  expect(await highlighted('loads.gus', 'force = -700')).toEqual([
    [PUSH, 3],
    [HARD, 3],
  ]);
  expect(await highlighted('parts.gus', 'abs(L.force)', 6)).toEqual([
    [STRESS, 2],
    [LARGEST, 2],
    [BOTH, 2],
  ]);
});

test('a rename keeps one name in all loads that are swept together, and in no other', async () => {
  const renamed = async (
    file: string,
    needle: string,
    newName: string,
    offset = 0,
  ): Promise<Record<string, string>> => {
    const { changes } = await server.request<{ changes: Record<string, TextEdit[]> }>('textDocument/rename', file, {
      ...at(file, needle, offset),
      newName,
    });
    return Object.fromEntries(
      Object.entries(changes).map(([uri, edits]) => {
        const path = uri.slice(server.uri('').length + 1);
        return [path, server.edited(path, edits)];
      }),
    );
  };
  const wanted = {
    'loads.gus': LOADS.replace('force = 900', 'axial_force = 900')
      .replace('force = -700', 'axial_force = -700')
      .replace('force = 100', 'axial_force = 100')
      .replace('Push.force', 'Push.axial_force'),
    'parts.gus': PARTS.replace('abs(L.force)', 'abs(L.axial_force)')
      .replace('[Both]: L.force', '[Both]: L.axial_force')
      .replace('Cases: abs(L.force)', 'Cases: abs(L.axial_force)'),
  };
  for (const [file, needle, offset] of [
    ['loads.gus', 'force = 100', 0],
    ['loads.gus', 'force = 900', 0],
    ['parts.gus', 'abs(L.force)', 6],
    ['parts.gus', '[Both]: L.force', 11],
  ] as const)
    expect(await renamed(file, needle, 'axial_force', offset), needle).toEqual(wanted);
  await server.edit('loads.gus', 'load Push "Push" {', 'load Push "Push" { axial_force = 1 N  ');
  await expect(renamed('loads.gus', 'force = 900', 'axial_force')).rejects.toThrow('Push has a axial_force already');
  await server.edit('loads.gus', 'load Push "Push" { axial_force = 1 N  ', 'load Push "Push" {');
});

test('what a formula reads is every load it is called with', async () => {
  const [item] = await server.request<object[]>(
    'textDocument/prepareCallHierarchy',
    'parts.gus',
    at('parts.gus', 'stress(L) = '),
  );
  const outgoing = await server.ask<{ to: { name: string; detail: string } }[]>('callHierarchy/outgoingCalls', {
    item,
  });
  expect(outgoing.map(({ to }) => `${to.detail}.${to.name}`)).toEqual(['Pull.force', 'Push.force', 'Twist.force']);
});
