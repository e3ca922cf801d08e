/** What may be tried: the rows of the table that a value is picked from, and the values that a requirement rests on. */
import { describe, expect, test } from 'vitest';
import type { CodeLens, TextEdit } from 'vscode-languageserver-types';
import type { Sheet, Triable, TrialState } from '../../server/protocol/sheet.js';
import { TestServer } from '../support/server.js';
import { useServer } from '../support/suite-server.js';

const TEXT = `project Demo "Demo" { date = 2027-01-01 }
load Pull "Pull" { force = 900 N   lateral = 2 g0 any   temperature = 20 degC   level = limit   source = GUIDE }
document GUIDE "Guide" { revision = "1" }
material Plate "Plate" { yield = 200 MPa basis A source "data sheet" }
material Sheet "Sheet" { yield = 150 MPa basis A source "data sheet" }
let stress_area = ["M4" -> 8.78 mm^2, "M5" -> 14.2 mm^2, "M6 \\"fine\\"" -> 20.1 mm^2]
let bearing = by size, edge { "M4" -> [1.5 -> 100 MPa, 2.0 -> 120 MPa] exact   "M5" -> [1.5 -> 110 MPa, 2.0 -> 130 MPa] exact }
table Gauges = file("gauges.csv") { t as mm "t"   grade as text "grade" }
kind Joint "Joint" {
  given size: text
  let area = stress_area(size)
  requirement JNT-1 "The joint {name} shall hold." { check 900 N / area <= 200 MPa   verify by analysis }
}
part J1 "Joint" is Joint { size = "M5" }
part Lug "Lug" {
  material = Plate
  bolt = "M4"
  gauge = 1.2 mm ± 0.05 mm
  web = 2 mm
  rib = 3.2 mm within 2.8 mm .. 4.0 mm step 0.4 mm
  grade = "b"
  area = stress_area("M5")
  drawn = 14.2 mm^2
  plain = 7.7 mm
  edge = 1.5
  let least = min(for r in Gauges where r.grade == grade: r.t)
  let own = max(for r in Gauges where r.grade == "a": r.t)
  requirement LUG-1 "The lug shall hold." {
    let share = 90 %
    check yield for L in corners(Pull): share * L.force / (stress_area(bolt) + gauge * web) <= material.yield
    check bearing for L in [Pull]: L.force / drawn <= bearing(size = bolt, edge = edge)
    verify by analysis
  }
  requirement LUG-2 "The lug shall be tested." { verify by test }
}
`;
let server: TestServer;
useServer(
  () =>
    TestServer.start(
      { 'a.gus': TEXT, 'gauges.csv': 't,grade\n2,b\n0.8,a\n1.2,a\n2,b\n' },
      { options: { hasViews: true } },
    ),
  ['a.gus'],
  started => {
    server = started;
  },
);
const choices = (name: string): Promise<string[]> => server.request('gusset/choices', 'a.gus', { name });
const triable = (needle: string, offset = 0): Promise<Triable[]> =>
  server.request('gusset/triable', 'a.gus', { position: server.position('a.gus', needle, offset) });

describe('choices', () => {
  test.each([
    ['a text that is the key of a table', 'Lug.bolt', ['"M4"', '"M5"', '"M6 \\"fine\\""']],
    ['one that a kind gives to a table', 'J1.size', ['"M4"', '"M5"', '"M6 \\"fine\\""']],
    [
      'a key written in the call',
      'Lug.area',
      ['stress_area("M4")', 'stress_area("M5")', 'stress_area("M6 \\"fine\\"")'],
    ],
    ['a number that is an exact key', 'Lug.edge', ['1.5', '2']],
    ['a text compared with a column', 'Lug.grade', ['"b"', '"a"']],
    [
      'the same written in the condition',
      'Lug.own',
      ['max(for r in Gauges where r.grade == "b": r.t)', 'max(for r in Gauges where r.grade == "a": r.t)'],
    ],
    [
      'a number in a column, with its tolerance',
      'Lug.gauge',
      ['0.8 mm ± 0.05 mm', '1.2 mm ± 0.05 mm', '2 mm ± 0.05 mm'],
    ],
    ['a number that a table of texts gives', 'Lug.drawn', ['8.78 mm^2', '14.2 mm^2', '20.1 mm^2']],
    ['a design variable', 'Lug.rib', ['2.8 mm', '3.2 mm', '3.6 mm', '4 mm']],
    ['another material', 'Lug.material', ['Plate', 'Sheet']],
    ['a number that stands nowhere', 'Lug.plain', []],
    ['what is calculated', 'Lug.least', []],
    ['no value', 'Lug.nothing', []],
  ])('%s', async (_, name, wanted) => {
    expect(await choices(name)).toEqual(wanted);
  });

  test.each(['Lug.bolt', 'J1.size', 'Lug.area', 'Lug.edge', 'Lug.grade', 'Lug.own', 'Lug.gauge', 'Lug.rib'])(
    'each of %s can be tried',
    async name => {
      for (const text of await choices(name))
        expect(
          (await server.request<TrialState>('gusset/trial', 'a.gus', { values: [{ name, text }] })).problems,
          text,
        ).toEqual([]);
      const { rows } = await server.request<Sheet>('gusset/sheet', 'a.gus', { known: null });
      expect(rows.length).toBe(3);
      await server.request('gusset/trial', 'a.gus', { values: [] });
    },
  );

  test('another bolt moves the margin', async () => {
    await server.request('gusset/trial', 'a.gus', { values: [{ name: 'J1.size', text: '"M4"' }] });
    const { rows } = await server.request<Sheet>('gusset/sheet', 'a.gus', { known: null });
    // 900 N / 8.78 mm² = 102.5 MPa.
    expect(rows.find(row => row.requirement === 'JNT-1/J1')!.tried).toMatchObject({ marginText: '+0.95' });
    await server.request('gusset/trial', 'a.gus', { values: [] });
  });
});

describe('the values a requirement rests on', () => {
  test('those of its own part first, then the others, and none that is calculated', async () => {
    const found = await triable('LUG-1 "', 1);
    expect(found.filter(({ own }) => own).map(({ name, written }) => `${name} ${written}`)).toEqual([
      'Lug.material Plate',
      'Lug.bolt "M4"',
      'Lug.gauge 1.2 mm ± 0.05 mm',
      'Lug.web 2 mm',
      'Lug.drawn 14.2 mm^2',
      'Lug.edge 1.5',
      'Lug.LUG-1.share 90 %',
    ]);
    expect(found.filter(({ own }) => !own).map(({ name }) => name)).toEqual(['Pull.force', 'Plate.yield']);
    expect(found.findIndex(({ own }) => !own)).toBe(7);
  });

  test('anywhere in the requirement that is no value; a value alone on its own', async () => {
    expect(await triable('verify by analysis\n  }\n  requirement LUG-2')).toHaveLength(9);
    expect((await triable('stress_area(bolt)', 13)).map(({ name }) => name)).toEqual(['Lug.bolt']);
    expect((await triable('share = 90', 1)).map(({ name }) => name)).toEqual(['Lug.LUG-1.share']);
    expect(await triable('LUG-2', 1)).toEqual([]);
    expect(await triable('JNT-1', 1)).toEqual([]);
  });

  test('are offered above its line, where it has checks', async () => {
    const lenses = await server.request<CodeLens[]>('textDocument/codeLens', 'a.gus', {});
    const trials = lenses
      .filter(({ command }) => command?.command === 'gusset.tryValue')
      .map(({ command, range }) => [command!.title, server.textAt('a.gus', range)]);
    expect(trials).toEqual([
      ['try another value', 'rib = 3.2 mm'],
      ['try a value', 'LUG-1'],
    ]);
  });
});

describe('a value that a part has from its kind', () => {
  const KIND = `project Demo "Demo" { date = 2027-01-01 }
kind Lug "Lug" {
  given w: length
  t = 2 mm
  requirement LUG-1 "The lug {name} shall be wide." { let least = 10 mm^2   check w * t >= least   verify by analysis }
}
part A "A" is Lug {
  w = 8 mm
}
part B "B" is Lug { w = 9 mm }
`;
  let server: TestServer;
  useServer(
    () => TestServer.start({ 'kind.gus': KIND }),
    ['kind.gus'],
    started => {
      server = started;
    },
  );

  const moved = async (name: string, text: string): Promise<string[]> => {
    await server.request<TrialState>('gusset/trial', 'kind.gus', { values: [{ name, text }] });
    const { rows } = await server.request<Sheet>('gusset/sheet', 'kind.gus', { known: null });
    return rows.filter(row => row.tried).map(row => row.part!);
  };
  const applied = async (): Promise<string> => {
    const { changes } = await server.request<{ changes: Record<string, TextEdit[]> }>(
      'gusset/applyTrial',
      'kind.gus',
      {},
    );
    return server.edited('kind.gus', changes[server.uri('kind.gus')]!);
  };

  test('is tried for that part, and given to it', async () => {
    expect(await moved('A.t', '3 mm')).toEqual(['A']);
    expect(await applied()).toBe(KIND.replace('  w = 8 mm\n', '  w = 8 mm\n  t = 3 mm\n'));
    expect(await moved('B.t', '3 mm')).toEqual(['B']);
    expect(await applied()).toBe(KIND.replace('{ w = 9 mm }', '{ w = 9 mm   t = 3 mm }'));
  });

  test('is tried for all of them at the kind', async () => {
    expect(await moved('Lug.t', '3 mm')).toEqual(['A', 'B']);
    expect(await applied()).toBe(KIND.replace('t = 2 mm', 't = 3 mm'));
  });

  test('inside what the kind repeats is shared', async () => {
    expect(await moved('Lug.LUG-1.least', '30 mm^2')).toEqual(['A', 'B']);
    expect(await applied()).toBe(KIND.replace('least = 10 mm^2', 'least = 30 mm^2'));
    expect(await moved('A.LUG-1.least', '30 mm^2')).toEqual(['A']);
    await expect(applied()).rejects.toThrow(/A\.LUG-1\.least stands in a kind and is the same for all of its parts/);
  });
});
