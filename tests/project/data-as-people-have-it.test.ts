/** Data files as spreadsheets, testing machines and programs write them: read rightly, or told; never guessed. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { open } from '../findings/project.js';

interface Outcome {
  /** The largest value in SI; null where it is undetermined. */
  readonly value: number | null;
  readonly said: string;
}

/** What a table of one column `v` comes to, declared with `head` behind its file. */
function outcome(file: string, columns = 'v as MPa "Fu"', head = '', where = ''): Outcome {
  const project = open({
    'm.gus': `table T = file("t.csv") ${head} { ${columns} }\nlet worst = max(for r in T${where}: r.v)\nrequirement R-1 "It shall." { check worst <= 2 * worst }\n`,
    't.csv': file,
  });
  const { evaluation } = project.configurations[0]!;
  const value = evaluation.valueOf(project.namespace.root, 'worst');
  const number = value?.kind === 'quantity' ? evaluation.number(value.node) : NaN;
  const said = project
    .findings('m.gus')
    .filter(({ severity }) => severity === 'error' || severity === 'warning')
    .map(({ message }) => message);
  return { value: Number.isNaN(number) ? null : number, said: said.join('\n') };
}

const MPa = 1e6;

describe('the unit of a header is held against the stated one', () => {
  it.each<[string, string, string, number]>([
    ['kN/mm2', 'GPa', 'Fu [kN/mm2]', 1e9],
    ['KSI', 'ksi', 'Fu [KSI]', 6894757.293168362],
    ['ksi behind a stroke', 'ksi', 'Fu / ksi', 6894757.293168362],
    ['MPa behind in', 'MPa', 'Fu in MPa', 1e6],
    ['MPa behind a comma', 'MPa', '"Fu, MPa"', 1e6],
    ['kN in round brackets', 'kN', 'Load (kN)', 1e3],
    ['kNm', 'kN*m', 'M [kNm]', 1e3],
    ['daN', 'daN', 'F [daN]', 10],
    ['ft-lb', 'ft*lbf', 'T [ft-lb]', 1.3558179483314004],
    ['sec', 's', 't [sec]', 1],
    ['G', 'g0', 'a [G]', 9.80665],
    ['g as gravity', 'g0', 'a [g]', 9.80665],
    ['lbs as a force', 'lbf', 'F [lbs]', 4.4482216152605],
    ['lbs as a mass', 'lbm', 'm [lbs]', 0.45359237],
    ['N m with a space', 'N*m', 'T [N m]', 1],
    ['a unit in the middle', 'MPa', 'Fu [MPa] (max)', 1e6],
    ['a remark in round brackets', 'MPa', 'Fu (max)', 1e6],
    ['none', 'MPa', 'Fu', 1e6],
  ])('%s', (_, unit, header, value) => {
    const title = header.replaceAll('"', '');
    const result = outcome(`${header}\n1\n`, `v as ${unit} "${title}"`);
    expect(result.said).toBe('');
    expect(result.value).toBeCloseTo(value, 6);
  });

  it.each([
    ['MPa', 'Fu [kN/mm2]', 'v is read as MPa, but its header says kN/mm2'],
    ['MPa', 'Fu [KSI]', 'says KSI'],
    ['MPa', 'Fu / ksi', 'says ksi'],
    ['N', 'Load (kN)', 'says kN'],
    ['N', 'Load in kN', 'says kN'],
    ['N', 'Load_kN', 'says kN'],
    ['N*m', 'M [kNm]', 'says kNm'],
    ['N', 'F [daN]', 'says daN'],
    ['min', 't [sec]', 'says sec'],
    ['MPa', 'Fu [-]', 'says -'],
    ['MPa', 'Fu [MPaa]', 'MPaa is no unit that could be held against what is stated; MPa may be meant'],
    ['MPa', 'Fu (MPaa)', 'MPa may be meant'],
    ['N', 'F [quid]', 'quid is no unit'],
    ['number', 'Share [%]', 'read as a plain number, but its header says %'],
    ['number', 'F (kN)', 'read as a plain number, but its header says kN'],
  ])('%s against %s', (unit, header, said) => {
    const result = outcome(`${header}\n1\n`, `v as ${unit} "${header}"`);
    expect(result.value).toBeNull();
    expect(result.said).toContain(said);
  });

  it('also where a line below names it', () => {
    const file = 'Piece,Fu\n,ksi\na,1\n';
    expect(outcome(file, 'v as ksi "Fu"', 'ignore ",ksi"').value).toBeCloseTo(6894757.293168362, 6);
    expect(outcome(file, 'v as MPa "Fu"', 'ignore ",ksi"').said).toContain('its header says ksi');
    expect(outcome(file).said).toContain('Line 2 looks like the units of the columns. Pass over it: `ignore ",ksi"`.');
  });

  it('and never guessed where none is stated', () => {
    expect(outcome('Fu [MPa]\n1\n', 'v "Fu"').value).toBe(MPa);
    expect(outcome('Fu [KSI]\n1\n', 'v "Fu"').said).toContain('ksi may be meant');
  });
});

describe('numbers of other countries', () => {
  it.each<[string, string, string, number]>([
    ['decimal commas', 'Fu;Remark\n299,9;\n250,5;late\n', 'decimal ","', 299.9],
    ['points between thousands', 'Fu\n1.250\n250,5\n', 'decimal "," thousands "."', 1250],
    ['commas between thousands', 'Fu;x\n"1,234.5";2\n12;2\n', 'thousands ","', 1234.5],
    ['spaces between thousands', 'Fu;x\n1 250,5;2\n12;2\n', 'decimal "," thousands " "', 1250.5],
    ['no-break spaces between thousands', 'Fu;x\n1\u202f250,5;2\n', 'decimal "," thousands " "', 1250.5],
    ['quoted decimal commas among commas', 'Fu,x\n"299,9",2\n', 'decimal ","', 299.9],
    ['a separator of its own', 'Fu|x\n1|2\n', 'separator "|"', 1],
    ['commas in headers among semicolons', 'Nr, all;Load, max;Fu\n1;2;3\n', '', 3],
    ['a point that is said', 'Fu;x\n1.250;1\n', 'decimal "."', 1.25],
  ])('%s', (_, file, head, value) => {
    expect(outcome(file, undefined, head)).toEqual({ value: value * MPa, said: '' });
  });

  it.each([
    [
      'a decimal comma',
      'Fu;x\n299,9;1\n',
      '"299,9" in line 2, column "Fu", has a decimal comma. Say so: `decimal ","`.',
    ],
    ['thousands beside it', 'Fu;x\n1.250;1\n250,5;1\n', 'Say so: `decimal "," thousands "."`.'],
    [
      'a comma with three digits',
      'Fu,x\n"1,234",1\n',
      '"1,234" in line 2, column "Fu", is 1.234 with a decimal comma, or 1234 with a comma between thousands.',
    ],
    ['points that may be either', 'Fu;x\n1.250;1\n2.500;1\n', '1.250 may be 1.25 or 1250'],
    ['a cell too many', 'Fu\n299,9\n', 'Line 2 has 2 cells, the header 1.'],
    ['a nameless column', 'Fu,\n299,9\n300,\n', '"9" in line 2 stands in column 2, which has no header.'],
    [
      'an empty column',
      'Fu,Remark\n299,9\n300,\n',
      '"299,9" in line 2 may be one number that its decimal comma cut in two',
    ],
    ['points under decimal commas', 'Fu;x\n1.250;1\n', 'say `thousands "."`', 'decimal ","'],
    ['thousands at odd places', 'Fu;x\n12.50;1\n', 'is not a number', 'decimal "," thousands "."'],
  ])('%s is told and gives no number', (_, file, said, head = '') => {
    const result = outcome(file, undefined, head);
    expect(result.value).toBeNull();
    expect(result.said).toContain(said);
  });
});

describe('what is no row', () => {
  it.each([
    ['cells that are declared missing', 'Fu,v\n1,y\nn/a,n\n-,n\n', 'missing "n/a", "-"', ' where r.ok == "y"', 1],
    ['comments', '# run 7\nFu,v\n1,y\n# pause\n2,y\n', 'ignore "#"', '', 2],
    ['sums', 'Piece,Fu,v\na,1,y\nMean,7,y\n', 'ignore "Mean"', '', 1],
    ['a line for spreadsheets', 'sep=;\nFu;v\n1;y\n', 'skip 1', '', 1],
  ])('%s', (_, file, head, where, value) => {
    expect(outcome(file, 'v as MPa "Fu"   ok as text "v"', head, where)).toEqual({ value: value * MPa, said: '' });
  });

  it.each([
    ['n/a', 'Fu\nn/a\n', 'say `missing "n/a"`'],
    ['-', 'Fu\n-\n', 'say `missing "-"`'],
    ['<0.1', 'Fu\n<0.1\n', 'is not a number'],
    ['5 %', 'Fu\n5 %\n', 'is not a number'],
    ['#DIV/0!', 'Fu\n#DIV/0!\n', 'is not a number'],
    ['nothing', 'Fu,x\n,1\n', 'is empty where a number is due'],
    [
      'a title',
      'Coupons of lot 7\n\nFu,x\n1,2\n',
      'line 3 holds the columns of the table. Pass over what stands before it: `skip 2`.',
    ],
    ['a line for spreadsheets', 'sep=;\nFu;x\n1;2\n', '`skip 1`'],
    ['a comment', 'Fu,x\n1,2\n# pause, 3 min\n', 'looks like a comment. Pass over it: `ignore "#"`.'],
    ['a sum', 'Piece,Fu\na,1\nMean,7\n', 'looks like a sum of the others. Leave it out: `ignore "Mean"`.'],
    ['a missing cell that is read', 'Fu,x\nn/a,1\n', 'holds no number', 'missing "n/a"'],
  ])('%s is told and gives no number', (_, file, said, head = '') => {
    const result = outcome(file, undefined, head);
    expect(result.value).toBeNull();
    expect(result.said).toContain(said);
  });
});

describe('no row is dropped because it is not known', () => {
  it.each([
    ['a cell that cannot be read', 'Fu,x\n1,1\n99,?\n', ' where r.x <= 2'],
    ['a cell that is missing', 'Fu,x\n1,1\n99,n/a\n', ' where r.x <= 2', 'missing "n/a"'],
    ['a TBD', 'Fu,x\n1,1\n99,1\n', ' where r.x <= limit'],
  ])('%s', (_, file, where, head = '') => {
    const columns = 'v as MPa "Fu"   x as number "x"';
    const result = outcome(file, columns, head, where.replace('limit', 'TBD'));
    expect(result.value).toBeNull();
  });
});

describe('listings of programs', () => {
  const page = (subcase: number, rows: string): string =>
    `1    STRESS RUN 7\n      SUBCASE ${subcase}\n\n  ELEMENT      VON MISES\n    ID          [MPa]\n------------------------\n${rows}\n`;

  it('by places, with titles and headers that repeat, and D exponents', () => {
    const file = page(1, '     101      1.50D+02\n     102      2.5E+01\n') + page(2, '     101      3.0D+02\n');
    const columns = 'v as MPa "VON MISES"   id as part "ELEMENT"   load as load above "SUBCASE"';
    const head = 'columns 11..24, 1..10 ignore "ID"';
    expect(outcome(file, columns, head)).toEqual({ value: 300 * MPa, said: '' });
    expect(outcome(file, columns, head, ' where r.load == "1"').value).toBe(150 * MPa);
    expect(outcome(file, columns.replace('MPa', 'ksi'), head).said).toContain('its header says MPa');
  });

  it('by white space', () => {
    expect(outcome('ID   VM    X\n 1  15.0  2\n 2  30.0  2\n', 'v as MPa "VM"', 'separator " "')).toEqual({
      value: 30 * MPa,
      said: '',
    });
    expect(outcome('  1  15.0  2\n  2  30.0  2\n', 'v as MPa', 'separator " " columns 2')).toEqual({
      value: 30 * MPa,
      said: '',
    });
  });

  it.each([
    ['a number across two columns', ' 1   15.0\n 2 12345.67\n', 'v as MPa', 'columns 5..8', 'cut something in two'],
    ['a row that does not fit', 'VM\n15.0\nEND OF RUN\n', 'v as MPa "VM"', 'columns 1..10', '"END OF RUN" in line 3'],
    [
      'an empty cell between white space',
      'A  VM  C\n1  15  2\n1  99\n',
      'v as MPa "VM"',
      'separator " "',
      'Line 3 has 2 cells, the others have 3.',
    ],
    [
      'rows behind a blank line',
      'VM\n15.0\n\n99.0\n',
      'v as MPa "VM"',
      'columns 1..10',
      'Line 4 looks like a row but stands below no header',
    ],
    [
      'a page without its title',
      'SUBCASE 1\nVM\n15.0\n\nVM\n99.0\n',
      'v as MPa "VM"   c as load above "SUBCASE"',
      'columns 1..10',
      'No title with "SUBCASE" stands above the rows from line 6 on.',
    ],
    [
      'a header that is nowhere',
      'VM\n15.0\n',
      'v as MPa "SX"',
      'columns 1..10',
      'No line of the file holds the header "SX".',
    ],
    [
      'more columns than places',
      'VM\n15.0\n',
      'v as MPa "VM"   w as MPa',
      'columns 1..10',
      '`columns` says where 1 stand',
    ],
  ])('%s is told and gives no number', (_, file, columns, head, said) => {
    const result = outcome(file, columns, head);
    expect(result.said).toContain(said);
    expect(result.value).toBeNull();
  });
});

describe('how a file is written is said', () => {
  it.each([
    ['skip x', 'skip'],
    ['decimal ";"', '`decimal` takes one of'],
    ['decimal ".", ","', '`decimal` takes one of'],
    ['thousands "_"', '`thousands` takes one of'],
    ['separator "--"', '`separator` takes one of'],
    ['ignore ""', '`ignore` takes the beginnings'],
    ['columns 8..1', '`columns` takes characters'],
    ['columns 1..8, 3', '`columns` takes either'],
    ['skip 1 skip 2', '`skip` is said twice'],
    ['decimal "," thousands ","', "can't be the decimal sign"],
    ['columns 1..8 separator ";"', 'need no `separator`'],
  ])('%s', (head, said) => {
    expect(outcome('Fu\n1\n', undefined, head).said.toLowerCase()).toContain(said.toLowerCase());
  });

  it('with words that are names elsewhere', () => {
    const columns = 'v as MPa "Fu"   skip as number   missing as text   columns as text "c"   above as text "a"';
    expect(outcome('Fu,skip,missing,c,a\n1,2,x,y,z\n', columns)).toEqual({ value: MPa, said: '' });
  });
});

describe('a file rewritten', () => {
  const numbers = fc.array(fc.tuple(fc.integer({ min: -5e6, max: 5e6 }), fc.integer({ min: 0, max: 4 })), {
    minLength: 1,
    maxLength: 8,
  });
  const style = fc.record({
    decimal: fc.constantFrom('.', ','),
    thousands: fc.constantFrom(null, '.', ',', ' ', "'"),
    separator: fc.constantFrom(',', ';', '\t', '|'),
    lineEnd: fc.constantFrom('\n', '\r\n', '\r'),
    mark: fc.boolean(),
    saysDecimal: fc.boolean(),
    saysThousands: fc.boolean(),
    saysSeparator: fc.boolean(),
  });

  it('in another locale, separator or line end gives the same numbers or an error, never others', () => {
    let read = 0;
    fc.assert(
      fc.property(numbers, style, (values, written) => {
        // Who writes decimal commas puts something else between cells, and no program puts 1.000 for a thousand there.
        fc.pre(written.decimal !== written.thousands && !(written.separator === ',' && written.thousands === '.'));
        const spell = ([value, digits]: [number, number]): string => spelled(value, digits, written);
        const rows = values.map((value, row) => {
          const cell = spell(value);
          return [`p${row}`, cell.includes(written.separator) ? `"${cell}"` : cell, 'x'].join(written.separator);
        });
        const lines = [['Piece', 'Fu', 'Remark'].join(written.separator), ...rows, ''];
        const head = [
          written.saysDecimal ? `decimal "${written.decimal}"` : '',
          written.saysThousands && written.thousands ? `thousands "${written.thousands}"` : '',
          written.saysSeparator ? `separator "${written.separator === '\t' ? 'tab' : written.separator}"` : '',
        ].join(' ');
        const text = (written.mark ? '\ufeff' : '') + lines.join(written.lineEnd);
        const { value, said } = outcome(text, 'v as number "Fu"', head);
        const truth = Math.max(...values.map(([number, digits]) => number / 10 ** digits));
        if (value === null) expect(said).not.toBe('');
        else {
          read++;
          expect(value).toBeCloseTo(truth, 6);
        }
      }),
      { numRuns: 1000 },
    );
    expect(read).toBeGreaterThan(100);
  });
});

function spelled(
  value: number,
  digits: number,
  { decimal, thousands }: { readonly decimal: string; readonly thousands: string | null },
): string {
  const [whole = '', fraction] = (Math.abs(value) / 10 ** digits).toFixed(digits).split('.');
  const grouped = thousands === null ? whole : whole.replace(/\B(?=(\d{3})+$)/g, thousands);
  return `${value < 0 ? '-' : ''}${grouped}${fraction === undefined ? '' : decimal + fraction}`;
}
