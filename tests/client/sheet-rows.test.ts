import { describe, expect, test } from 'vitest';
import { DEFAULT_VIEW, merged, rowAt, shownLines, tabSeparated } from '../../client/panels/sheet/rows.js';
import type { Sheet, SheetRow } from '../../server/protocol/sheet.js';

function row(id: string, given: Partial<SheetRow> = {}): SheetRow {
  const requirement = id.split('#')[0]!;
  return {
    id,
    requirement,
    text: 'It shall hold.',
    part: 'Bus.Tray',
    mode: 'ultimate',
    configuration: null,
    kind: 'strength',
    unit: null,
    basis: 'B',
    source: 'campaign 3',
    factors: ['Flight.ultimate 1.5'],
    status: 'verified',
    thin: false,
    cases: 3,
    margin: 0.2,
    marginText: '+0.20',
    governing: 'Liftoff +axial',
    applied: '10 MPa',
    allowable: '12 MPa',
    passes: true,
    location: { uri: 'file:///a.gus', line: 5, character: 4 },
    requirementLine: 3,
    tried: null,
    ...given,
  };
}
const shown = (rows: readonly SheetRow[], view = {}): string[] =>
  shownLines(rows, { ...DEFAULT_VIEW, ...view }).map(line => (line.kind === 'heading' ? line.title : line.row.id));

describe('lines', () => {
  const rows = [
    row('A#1'),
    row('B#1', { margin: -0.1, passes: false, status: 'failing' }),
    row('C#1', { kind: 'distance', unit: 'Hz', margin: 3 }),
    row('D#1', { margin: null, passes: null, kind: 'undetermined', status: 'undetermined' }),
    row('E#1', { margin: 0.01, thin: true }),
  ];
  test('stand in groups of one kind of margin, what fails and the lowest first', () => {
    expect(shown(rows)).toEqual([
      'Failing',
      'B#1',
      'Undetermined',
      'D#1',
      'Margins of strength',
      'E#1',
      'A#1',
      'Margins of distance, Hz',
      'C#1',
    ]);
    expect(shown(rows, { descending: true })).toEqual([
      'Failing',
      'B#1',
      'Undetermined',
      'D#1',
      'Margins of strength',
      'A#1',
      'E#1',
      'Margins of distance, Hz',
      'C#1',
    ]);
  });
  test('are sorted by what a column says, numbers in it by their value', () => {
    const said = [
      row('A#1', { applied: '10.5 MPa' }),
      row('B#1', { applied: '9.25 MPa' }),
      row('C#1', { applied: '9.3 MPa' }),
      row('D#1', { applied: '9.25 mpa' }),
    ];
    expect(shown(said, { sort: 'applied' })).toEqual(['Margins of strength', 'B#1', 'D#1', 'C#1', 'A#1']);
    expect(shown(said, { sort: 'applied', descending: true })).toEqual([
      'Margins of strength',
      'A#1',
      'C#1',
      'B#1',
      'D#1',
    ]);
    expect(shown([row('STR-10#1'), row('STR-9#1')], { sort: 'requirement' })).toEqual([
      'Margins of strength',
      'STR-9#1',
      'STR-10#1',
    ]);
  });
  test('are left out by words, by status, and where a trial moves nothing', () => {
    expect(shown(rows, { filter: 'fail' })).toEqual(['Failing', 'B#1']);
    expect(shown(rows, { filter: 'tray campaign', status: 'thin' })).toEqual(['Margins of strength', 'E#1']);
    expect(shown(rows, { moved: true })).toEqual([]);
  });
  test('as text hold no tab or line end within a cell', () => {
    expect(
      tabSeparated(shownLines([row('A#1', { source: 'two\tlines\nhere' })], DEFAULT_VIEW)).split('\n'),
    ).toHaveLength(3);
  });
  test.each(['=1+1', '+cmd', '-2+3+cmd', '@sum', '\t=1', '\r=1'])('as text hold no formula: %j', part => {
    const copied = tabSeparated(shownLines([row('A#1', { part, marginText: '-0.06' })], DEFAULT_VIEW)).split('\n');
    expect(copied[2]!.split('\t')).toContain(`'${part.replace(/[\t\r]/g, ' ')}`);
    expect(copied[2]!.split('\t')).toContain('-0.06');
  });
});

test('only what moved comes, in the order told', () => {
  const before = new Map([row('A#1'), row('B#1')].map(each => [each.id, each]));
  const moved = row('B#1', { marginText: '+0.30' });
  const sheet = { rows: [moved], order: ['B#1', 'A#1'] } as unknown as Sheet;
  expect([...merged(before, sheet).values()]).toEqual([moved, before.get('A#1')]);
  expect([...merged(before, { ...sheet, order: null }).keys()]).toEqual(['B#1']);
  expect([...merged(before, { ...sheet, order: 'as before' }).values()]).toEqual([before.get('A#1'), moved]);
});

test('the row at a line is that of the requirement round it, and of the check next above', () => {
  const at = (line: number): string | undefined =>
    rowAt(
      [
        row('A#1'),
        row('A#2', { location: { uri: 'file:///a.gus', line: 7, character: 4 } }),
        row('B#1', { requirementLine: 12, location: { uri: 'file:///a.gus', line: 14, character: 4 } }),
      ],
      'file:///a.gus',
      line,
    )?.id;
  expect([2, 3, 4, 5, 6, 7, 11, 12, 20].map(at)).toEqual([
    undefined,
    'A#1',
    'A#1',
    'A#1',
    'A#1',
    'A#2',
    'A#2',
    'B#1',
    'B#1',
  ]);
});
