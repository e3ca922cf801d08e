import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CancellationSource } from '../../server/base/index.js';
import type { ColumnRequest, TableRequest } from '../../server/project/data-files/table.js';
import { readTable, readTableInSteps } from '../../server/project/data-files/read.js';

const bytes = (text: string) => new TextEncoder().encode(text);
const read = (
  source: string | Uint8Array,
  columns: readonly (ColumnRequest | string)[],
  options: Omit<TableRequest, 'columns'> = {},
) =>
  readTable(source, {
    ...options,
    columns: columns.map(column => (typeof column === 'string' ? { name: column } : column)),
  })!;
const cells = (source: string | Uint8Array, column: string): unknown[] => [
  ...(read(source, [column]).columns.get(column)?.values ?? []),
];
const problems = (
  source: string | Uint8Array,
  columns: readonly (ColumnRequest | string)[],
  options?: Omit<TableRequest, 'columns'>,
) =>
  read(source, columns, options).problems.map(({ kind, line, column, cell, count, message }) => ({
    at: [kind, line, column, cell, count],
    message,
  }));

describe('what it reads', () => {
  it('numbers by header, with the unit in brackets taken apart', () => {
    const table = read('PID,Max VM [MPa]\nBatteryTray,402.5\nPanel,3.1e1\n', [
      { name: 'part', header: 'PID' },
      { name: 'vm', header: 'Max VM [MPa]' },
    ]);
    expect([...table.columns.values()].map(({ header }) => header)).toEqual([
      { text: 'PID', title: 'PID', unitBelow: null, column: 1 },
      { text: 'Max VM [MPa]', title: 'Max VM', unitBelow: null, column: 2 },
    ]);
    expect(table.columns.get('part')?.values).toEqual(['BatteryTray', 'Panel']);
    expect(table.columns.get('vm')?.values).toEqual(Float64Array.of(402.5, 31));
    expect([...table.lines]).toEqual([2, 3]);
    expect(table.problems).toEqual([]);
  });

  it('a header by its title alone', () => {
    expect(cells('strength [MPa]\n585\n', 'strength')).toEqual([585]);
  });

  it.each([
    ['comma', 'a,b\n1,2\n'],
    ['semicolon', 'a;b\n1;2\n'],
    ['tab', 'a\tb\n1\t2\n'],
    ['carriage return and line feed', 'a,b\r\n1,2\r\n'],
    ['carriage return alone', 'a,b\r1,2\r'],
    ['no final line break', 'a,b\n1,2'],
    ['quotes', '"a","b"\n"1","2"\n'],
    ['quotes and carriage returns', '"a","b"\r\n"1","2"\r\n'],
    ['spaces', ' a , b \n 1 , 2 \n'],
    ['byte order mark', '\ufeffa,b\n1,2\n'],
    ['blank lines', '\n\na,b\n\n1,2\n\n\n'],
    ['an empty last column', 'a,b,\n1,2,\n'],
    ['a separator too many', 'a,b\n1,2,\n'],
  ])('%s', (_, source) => {
    for (const each of [source, bytes(source)]) {
      const table = read(each, ['a', 'b']);
      expect([table.columns.get('a')?.values, table.columns.get('b')?.values, table.problems]).toEqual([
        Float64Array.of(1),
        Float64Array.of(2),
        [],
      ]);
    }
  });

  it('quoted cells with separators, quotes and line breaks, and the lines of the rows after them', () => {
    const table = read('name,x\n"a, ""b""\nc",1\nd,2\n', ['name', 'x']);
    expect(table.columns.get('name')?.values).toEqual(['a, "b"\nc', 'd']);
    expect([...table.lines]).toEqual([2, 4]);
  });

  it('past a preamble', () => {
    const table = read('Solver run 7\n"units, mm"\n\nx\n1\n', ['x'], { format: { skip: 3 } });
    expect([...table.columns.get('x')!.values]).toEqual([1]);
    expect([...table.lines]).toEqual([5]);
  });

  it('text where text is asked for, or where one cell is no number', () => {
    expect(read('d\n0\n90\n', [{ name: 'd', kind: 'text' }]).columns.get('d')?.values).toEqual(['0', '90']);
    expect(cells('d\n0\n0/90\n', 'd')).toEqual(['0', '0/90']);
    expect(cells('d\n\n,\n', 'd')).toEqual([]);
  });

  it.each([
    ['1.0D+03', 1000],
    ['-.5', -0.5],
    ['+2.', 2],
    ['1e-400', 0],
  ])('%s as a number', (cell, value) => {
    expect(cells(`x [N]\n${cell}\n`, 'x')).toEqual([value]);
  });

  it('one column twice under two names', () => {
    const table = read('x\n1\n', [
      { name: 'a', header: 'x' },
      { name: 'b', header: 'x' },
    ]);
    expect([...table.columns.keys()]).toEqual(['a', 'b']);
  });
});

describe('what it tells', () => {
  it.each<
    [string, string | Uint8Array, readonly (ColumnRequest | string)[], Omit<TableRequest, 'columns'>, unknown[], string]
  >([
    ['an empty file', '', ['x'], {}, ['no-header', 1, null, null, 1], 'The file is empty.'],
    [
      'a preamble that is the whole file',
      'a\nb\n',
      ['x'],
      { format: { skip: 3 } },
      ['no-header', 3, null, null, 1],
      'The file ends at line 3 and 3 lines are skipped: no header is left. Skip fewer lines.',
    ],
    [
      'a table without rows',
      'x\n',
      ['x'],
      {},
      ['no-rows', 1, null, null, 1],
      'The table ends with its header in line 1: no rows follow.',
    ],
    [
      'a misspelt header',
      'Max VM [MPa]\n1\n',
      ['Max Vm [MPa]'],
      {},
      ['missing-column', 1, null, 'Max Vm [MPa]', 1],
      'No column is headed "Max Vm [MPa]" in line 1. Did you mean "Max VM [MPa]"?',
    ],
    [
      'a title in other letters',
      'Strength [MPa]\n1\n',
      ['strength'],
      {},
      ['missing-column', 1, null, 'strength', 1],
      'No column is headed "strength" in line 1. Did you mean "Strength [MPa]"?',
    ],
    [
      'a header unlike any',
      'PID,SUBCASE\n1,2\n',
      ['stress'],
      {},
      ['missing-column', 1, null, 'stress', 1],
      'No column is headed "stress" in line 1. The header has "PID", "SUBCASE".',
    ],
    [
      'a header given twice',
      'x,x\n1,2\n',
      ['x'],
      {},
      ['duplicate-header', 1, 2, 'x', 1],
      'The header "x" stands over columns 1 and 2; the first is read. Give each column its own header.',
    ],
    [
      'a row too short',
      'x,y\n1,2\n3\n',
      ['x'],
      {},
      ['ragged-row', 3, null, null, 1],
      'Line 3 has 1 cell, the header 2. Fill in the missing cells.',
    ],
    [
      'a row too long',
      'x\n1\n3,5\n',
      ['x'],
      {},
      ['ragged-row', 3, null, null, 1],
      'Line 3 has 2 cells, the header 1. Quote cells that hold the separator; where a comma is the decimal sign, export with semicolons and say `decimal ","`.',
    ],
    [
      'an empty cell',
      'x [N],y\n1,2\n,3\n',
      ['x'],
      {},
      ['empty-cell', 3, 1, '', 1],
      'The cell in line 3, column "x [N]", is empty where a number is due. Fill it in, or say `missing ""`.',
    ],
    [
      'what is no number',
      'x [N]\nn/a\n1\nnone\n',
      ['x'],
      {},
      ['not-a-number', 2, 1, 'n/a', 2],
      '"n/a" in line 2, column "x [N]", is not a number. Write a plain decimal number such as 402.5 or 4.025e2; where it stands for none, say `missing "n/a"`. (1 more like it.)',
    ],
    [
      'what no double holds',
      'x [N]\n1e999\n',
      ['x'],
      {},
      ['not-a-number', 2, 1, '1e999', 1],
      '"1e999" in line 2, column "x [N]", is not a number. Write a plain decimal number such as 402.5 or 4.025e2.',
    ],
    [
      'a decimal comma',
      'x;y\n402,5;1\n',
      ['x'],
      {},
      ['decimal-comma', 2, 1, '402,5', 1],
      '"402,5" in line 2, column "x", has a decimal comma. Say so: `decimal ","`.',
    ],
    [
      'a quote that stays open',
      'x,y\n1,"2\n3,4\n',
      ['x'],
      {},
      ['quote', 2, null, null, 1],
      'A quoted cell that begins in line 2 has no closing quote. Close it; a quote inside a quoted cell is written twice.',
    ],
    [
      'a quote in a quoted cell',
      'x,y\n1,"2" bolt"\n',
      ['x'],
      {},
      ['quote', 2, null, null, 1],
      'Line 2 has a quote inside a quoted cell. Write it twice.',
    ],
    [
      'a file too large',
      'x\n1\n',
      ['x'],
      { sizeLimit: 3 },
      ['too-large', null, null, null, 1],
      'The file has 1 MiB, more than the 1 MiB allowed. Keep the needed columns and rows only.',
    ],
    [
      'UTF-16',
      Uint8Array.of(0xff, 0xfe, 0x78, 0),
      ['x'],
      {},
      ['encoding', null, null, null, 1],
      'The file is written in UTF-16. Save it as UTF-8.',
    ],
    [
      'Latin-1',
      Uint8Array.of(0x78, 10, 0xb0, 10),
      ['x'],
      {},
      ['encoding', 2, null, null, 1],
      'The file is not UTF-8: byte 0xb0 in line 2 would be "°" in Latin-1. Save the file as UTF-8.',
    ],
    [
      'UTF-16 without its mark',
      Uint8Array.of(0x78, 0, 10, 0),
      ['x'],
      {},
      ['encoding', null, null, null, 1],
      'The file is written in UTF-16. Save it as UTF-8.',
    ],
    [
      'an old workbook',
      Uint8Array.of(0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1),
      ['x'],
      {},
      ['encoding', null, null, null, 1],
      'The file is an office document, perhaps a spreadsheet workbook (.xls). Export its sheet as CSV in UTF-8.',
    ],
    [
      'a workbook',
      Uint8Array.of(0x50, 0x4b, 3, 4, 0),
      ['x'],
      {},
      ['encoding', null, null, null, 1],
      'The file is a zip archive, perhaps a spreadsheet workbook (.xlsx). Export its sheet as CSV in UTF-8.',
    ],
  ])('%s', (_, source, columns, options, at, message) => {
    expect(problems(source, columns, options)).toEqual([{ at, message }]);
  });

  it('gives no number for a cell that is none, nor for a row that is shifted', () => {
    expect(cells('x [N]\nn/a\n2\n', 'x')).toEqual([NaN, 2]);
    expect(cells('x [N],y\n3,5,1\n4,2\n', 'x')).toEqual([NaN, 4]);
  });

  it.each([
    ['a quote that stays open', `x,y\n1,"2\n${'3,4\n'.repeat(2 ** 22)}`, 'quote', 2],
    ['nothing but quotes', `x,y\n${'"'.repeat(15e6 + 1)}`, 'quote', 2],
    ['quotes inside quotes', `x,y\n${'"a"b'.repeat(4e6)}`, 'quote', 2],
    ['a first line of quotes', '"'.repeat(15e6), 'no-header', 1],
    ['a first line without an end', 'x,'.repeat(8e6), 'no-header', 1],
  ])('reads on for a megabyte and no further: %s', (_, source, kind, line) => {
    const steps = readTableInSteps(source, { columns: [{ name: 'x' }] });
    let count = 0;
    let step = steps.next();
    for (; !step.done; step = steps.next()) count++;
    expect(step.value.problems[0]).toMatchObject({ kind, line });
    expect(count).toBeLessThan(12);
  });
});

describe('how it runs', () => {
  const large = bytes(`part,vm [MPa]\n${Array.from({ length: 200_000 }, (_, row) => `P${row},${row / 7}\n`).join('')}`);

  it('stops when cancelled', () => {
    const source = new CancellationSource();
    source.cancel();
    expect(readTable(large, { columns: [{ name: 'vm' }] }, source.token)).toBeUndefined();
  });

  it('pauses on its way, and reads the same whatever the pieces', () => {
    let pauses = 0;
    const steps = readTableInSteps(large, { columns: [{ name: 'vm' }, { name: 'part' }] });
    for (let step = steps.next(); ; step = steps.next(), pauses++) {
      if (!step.done) continue;
      expect(pauses).toBeGreaterThan(5);
      expect(step.value.columns.get('vm')!.values.at(-1)).toBe(199_999 / 7);
      expect(step.value.lines.at(-1)).toBe(200_001);
      return;
    }
  });

  // How fast is the bench's to say.
  it('reads a million rows of five columns', () => {
    const row = (index: number) => `${index % 5000},${index % 8},${index / 3},${index / 7},${index / 11}\n`;
    const source = bytes(
      `part,case,vm [MPa],x [mm],y [mm]\n${Array.from({ length: 1_000_000 }, (_, index) => row(index)).join('')}`,
    );
    expect(read(source, ['part', 'case', 'vm', 'x', 'y']).rowCount).toBe(1_000_000);
  });

  it('reads back what was written', () => {
    const cell = fc.string({ unit: fc.constantFrom('a', '"', ',', ';', '\n', ' ', 'é') }).map(text => text.trim());
    const quote = (text: string) => `"${text.replaceAll('"', '""')}"`;
    fc.assert(
      fc.property(fc.array(fc.tuple(cell, cell), { minLength: 1 }), rows => {
        const written = rows.filter(row => row.some(Boolean));
        const table = read(`a,b\n${written.map(row => row.map(quote).join(',')).join('\n')}`, [
          { name: 'a', kind: 'text' },
          { name: 'b', kind: 'text' },
        ]);
        expect(table.columns.get('a')?.values).toEqual(written.map(row => row[0]));
        expect(table.columns.get('b')?.values).toEqual(written.map(row => row[1]));
      }),
    );
  });
});
