/** Ranges of a spreadsheet pasted as tables and copied back. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { copiedTable, pastedTable } from '../../server/features/spreadsheet.js';
import { contextOf } from '../support/features.js';
import { codesOf, open } from '../findings/project.js';

/** What is inserted once its places are filled in. */
function filled(snippet: string | null, ...values: readonly string[]): string | null {
  return (
    snippet &&
    snippet
      .replace(
        /(?<!\\)\$(?:\{(\d+):[^}]*\}|(\d+))/g,
        (_, first?: string, again?: string) => values[Number(first ?? again) - 1]!,
      )
      .replace(/\\([\\$}])/g, '$1')
  );
}

describe('a range that is pasted', () => {
  it.each<[string, string, readonly string[], string]>([
    ['two columns', '20\t490\n50\t480\n', ['degC', 'MPa'], '[20 degC -> 490 MPa, 50 degC -> 480 MPa]'],
    ['headers with units', 'T [°C]\tFu (MPa)\n20\t490\n50\t480.5\n', [], '[20 degC -> 490 MPa, 50 degC -> 480.5 MPa]'],
    ['texts as keys', 'M5\t14,2\nM6\t20,1\n', ['mm^2'], '["M5" -> 14.2 mm^2, "M6" -> 20.1 mm^2]'],
    ['thousands', 'x\ty [N]\n1\t1.250,5\n2\t3.000\n', ['s'], '[1 s -> 1250.5 N, 2 s -> 3000 N]'],
    ['line ends of Windows', '1\t2\r\n3\t4\r\n', ['s', 'N'], '[1 s -> 2 N, 3 s -> 4 N]'],
    [
      'a grid',
      'e/D\t-55\t85\n1.5\t731\t668\n2\t939\t858\n',
      ['mm', 'degC', 'MPa', 'e', 'T'],
      'by e, T {\n  1.5 mm -> [-55 degC -> 731 MPa, 85 degC -> 668 MPa]\n  2 mm -> [-55 degC -> 939 MPa, 85 degC -> 858 MPa]\n}',
    ],
    [
      'records',
      'Piece\tLoad [kN]\tWidth (mm)\nC"1\t3.5\t20\nC{2}\t4\t21\n',
      [],
      '[\n  { Piece: "C\\"1", Load: 3.5 kN, Width: 20 mm },\n  { Piece: "C\\{2}", Load: 4 kN, Width: 21 mm }\n]',
    ],
  ])('%s', (_, text, values, table) => {
    const inserted = filled(pastedTable(text), ...values);
    expect(inserted).toBe(table);
    expect(codesOf({ 'm.gus': `let t = ${inserted}\nlet u = t\n` }).filter(code => code !== 'unused-name')).toEqual([]);
  });

  it.each([
    ['one cell', '5'],
    ['words', 'a\tb\nc\td\n'],
    ['a line', '1\t2\n'],
    ['rows of unequal length', '1\t2\n3\n'],
    ['commas that may be either', '1\t1,250\n2\t2,500\n'],
    ['two ways of writing', '1\t1,5\n2\t2.5\n'],
    ['what is no number', '1\t2\n3\tn/a\n'],
  ])('%s stays as it is', (_, text) => {
    expect(pastedTable(text)).toBeNull();
  });
});

describe('a table that is copied', () => {
  const copied = (text: string, decimal = '.'): string | null => {
    const project = open({ 'm.gus': text });
    return copiedTable(contextOf(project, 'm.gus'), text.indexOf('->'), decimal);
  };

  it('holds what a spreadsheet takes', () => {
    expect(copied('let t = [20 degC -> 490.5 MPa, 50 degC -> 480 MPa]\n', ',')).toBe(
      'x [degC]\ty [MPa]\n20\t490,5\n50\t480\n',
    );
    expect(copied('let t = ["M5" -> 14.2 mm^2]\n')).toBe('x\ty [mm^2]\nM5\t14.2\n');
    expect(
      copied(
        'part P { let a = 2 mm\n  let t = by w, T { 1 mm -> [1 s -> 2 * a, 2 s -> 5 mm]   2 mm -> [1 s -> 6 mm, 2 s -> 7 mm] } }\n',
      ),
    ).toBe('w, T [mm]\t1\t2\n1\t4\t5\n2\t6\t7\n');
    expect(copied('let t = 3 mm -> 4\n')).toBeNull();
  });

  it('comes back the same', () => {
    const value = fc
      .double({ min: -1e6, max: 1e6, noNaN: true, noDefaultInfinity: true })
      .map(x => Number(x.toPrecision(9)) + 0)
      .filter(x => x === 0 || Math.abs(x) > 1e-6);
    fc.assert(
      fc.property(
        fc.uniqueArray(value, { minLength: 2, maxLength: 6 }),
        fc.constantFrom('.', ','),
        (values, decimal) => {
          const table = `[${values
            .toSorted((a, b) => a - b)
            .map((x, i) => `${i} s -> ${x} N`)
            .join(', ')}]`;
          const again = pastedTable(copied(`let t = ${table}\n`, decimal)!);
          // Commas before three decimals alone may stand between thousands.
          if (again !== null) expect(again).toBe(table);
        },
      ),
      { numRuns: 100 },
    );
  });
});
