/** Text as people type it, or paste it: what is not the language's is named with its mend, and counts for nothing. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { TextDocument } from 'vscode-languageserver-textdocument';
import type { CodeAction } from 'vscode-languageserver-types';
import { call, contextOf } from '../support/features.js';
import { open } from '../findings/project.js';

interface Told {
  readonly message: string;
  readonly replacements: readonly string[];
}

/** Syntax findings of a text, and the value of `a` in SI; null where it has none. */
function read(text: string): { readonly told: readonly Told[]; readonly value: number | null } {
  const project = open({ 'm.gus': `${text}\nrequirement R-1 "It shall." { check a <= 2 * a }\n` });
  const told = project
    .findings('m.gus')
    .filter(({ code }) => code === 'syntax')
    .map(({ message, found }) => ({
      message,
      replacements: Object.entries(found.data).flatMap(([key, value]) =>
        key.startsWith('replacement') ? [value] : [],
      ),
    }));
  const { evaluation } = project.configurations[0]!;
  const value = evaluation.valueOf(project.namespace.root, 'a');
  const number = value?.kind === 'quantity' ? evaluation.number(value.node) : NaN;
  return { told, value: Number.isNaN(number) ? null : number };
}

describe('habits of other places', () => {
  it.each<[string, string, ...string[]]>([
    ['part P { mass = 1 kg, count = 2 }', "Statements are apart by spaces or lines: leave ',' out."],
    ['part P { mass: 1 kg }', "A value stands behind '=': write it instead of ':'."],
    ['project P { date = 12.5.2027 }', 'A day is written year first: write 2027-05-12.', '2027-05-12'],
  ])('%s', (written, message, ...replacements) => {
    expect(read(`${written}\nlet a = 1 mm`).told).toEqual([{ message, replacements }]);
  });
});

describe('numbers', () => {
  it.each<[string, ...string[]]>([
    ['0,125 mm', '0.125'],
    ['12,5 mm', '12.5'],
    ['1,500 mm', '1500', '1.500'],
    ['1,500,000 mm', '1500000'],
    ['1,500.5 mm', '1500.5'],
    ['1_000 mm', '1000'],
    ['1_000_000.5 mm', '1000000.5'],
    ['1 000 mm', '1000'],
    ['12\u202f500.5 mm', '12500.5'],
    ['3·7 mm', '3.7', '3 * 7'],
    ['.5 mm', '0.5'],
    ['5. mm', '5'],
    ['3×10³ N', '3e3'],
    ['3 x 10^3 N', '3e3'],
    ['10⁻⁶ 1/K', '1e-6'],
    ['2.1·10⁻⁶ 1/K', '2.1e-6'],
    ['5 mm (+0,1, -0)', '(+0.1, -0)'],
    ['max([1,200, 3.4] N)', '1200', '1.200', '1, 200'],
    ['max([3,7, 2] mm)', '3.7', '3, 7'],
    ['norm((0,5, 1, 2) mm)', '0.5', '0, 5'],
  ])('%s', (written, ...replacements) => {
    const { told, value } = read(`let a = ${written}`);
    expect(told.map(each => each.replacements)).toEqual([replacements]);
    expect(told[0]!.message).toContain(replacements[0]);
    expect(value).toBeNull();
  });

  it.each<[string, number]>([
    ['max([1,2,3] mm)', 0.003],
    ['max([1, 2, 3] mm)', 0.003],
    ['max([1,200,3] mm)', 0.2],
    ['3 * 10^3', 3000],
    ['3 × 10³', 3000],
    ['5 mm (+0.1, -0)', 0.005],
    ['5 mm-2 mm', 0.003],
    ['4 mm', 0.004],
    ['30 deg', Math.PI / 6],
  ])('%s is right as it is', (written, value) => {
    expect(read(`let a = ${written}`)).toEqual({ told: [], value: expect.closeTo(value, 12) as number });
  });

  it('in fields, tables and the columns of a file', () => {
    expect(read('part P { t = 1,500 mm }\nlet a = P.t').value).toBeNull();
    expect(
      read('let t = by T { 1 mm -> [1 mm -> 5 mm, 2 mm -> 6 mm],2 mm -> [1 mm -> 5 mm, 2 mm -> 6 mm] }\nlet a = 1 mm')
        .told,
    ).toEqual([]);
    expect(read('table T = file("x.csv") columns 1,3 { v as MPa   w as MPa }\nlet a = 1 mm').told).toEqual([]);
  });
});

describe('characters', () => {
  it.each([
    ['5 mm – 3 mm', 'an en dash, U+2013', '-'],
    ['5 mm ‑ 3 mm', 'a no-break hyphen, U+2011', '-'],
    ['5 mm — 3 mm', 'an em dash, U+2014', '-'],
    ['5\u00a0mm', 'a no-break space, U+00A0', ' '],
    ['5\u2009mm', 'a thin space, U+2009', ' '],
    ['5 mm\u00ad', 'a soft hyphen, which is not seen, U+00AD', ''],
    ['5 mm\u200b', 'a zero-width space, which is not seen, U+200B', ''],
    ['８ mm', 'another width or style of a letter, U+FF18', '8'],
    ['8 ÷ 2', 'a division sign, U+00F7', '/'],
    ['8 ⋅ 2', 'a dot operator, U+22C5', '*'],
    ['√(4)', 'a root sign, U+221A', 'sqrt'],
    ['if 1 ⩽ 2 then 1 else 2', 'a slanted less-or-equal, U+2A7D', '<='],
    ['5″', 'a double prime, for inches, U+2033', 'in'],
    ['20 ℃', 'a degree Celsius in one character, U+2103', 'degC'],
    ['20 deg C', "'deg C' is not a unit", 'degC'],
    ['5 N-m', "'N-m' is not a unit", 'N*m'],
    ['5 kg-m^2', "'kg-m^2' is not a unit", 'kg*m^2'],
    ['5 ｍｍ', 'another width or style of letters', 'mm'],
  ])('%s', (written, message, replacement) => {
    const { told, value } = read(`let a = ${written}`);
    expect(told.map(each => each.replacements)).toEqual([[replacement]]);
    expect(told[0]!.message).toContain(message);
    expect(value).toBeNull();
  });

  it('asks which pound is meant', () => {
    expect(read('let a = 3 ft-lb').told[0]!.replacements).toEqual(['ft*lbf', 'ft*lbm']);
  });

  it('of texts', () => {
    expect(read('part P “Main plate” { }\nlet a = 1 mm').told.map(each => each.replacements)).toEqual([
      ['"Main plate"'],
    ]);
    expect(read('part P "5 – 3 × 2″, “so”, 20\u00a0°C" { } // 5 – 3\nlet a = 1 mm').told).toEqual([]);
  });

  it('that turn the order round are told wherever they stand', () => {
    for (const text of [
      'let a = 1 mm // \u202e mm 2',
      'part P "\u2066x\u2069" { }\nlet a = 1 mm',
      'let a = 1 \u200fmm',
    ])
      expect(read(text).told[0]!.message).toContain('a control of the writing direction');
  });

  it('are mended one by one or all at once', () => {
    const text = 'let a = 5\u00a0mm – 3 mm\npart P “Plate” { t = 1_000 mm   w = 1,500 mm }\n';
    const project = open({ 'm.gus': text });
    const context = contextOf(project, 'm.gus');
    const at = context.lines.position(text.indexOf('–'));
    const actions = call('textDocument/codeAction', context, {
      range: { start: at, end: at },
      context: { only: ['quickfix'] },
    }) as CodeAction[];
    expect(actions.map(({ title }) => title)).toEqual(['Write -', 'Mend all 4 such spellings in this file']);
    const edits = actions[1]!.edit!.changes!['m.gus'] ?? Object.values(actions[1]!.edit!.changes!)[0]!;
    expect(TextDocument.applyEdits(TextDocument.create('', 'gusset', 1, text), edits)).toBe(
      'let a = 5 mm - 3 mm\npart P "Plate" { t = 1000 mm   w = 1,500 mm }\n',
    );
  });
});

describe('names', () => {
  it('are the same however their accents are put together', () => {
    expect(read('part Gr\u00f6\u00dfe { t = 3 mm }\nlet a = Gro\u0308\u00dfe.t')).toEqual({ told: [], value: 0.003 });
    expect(read('let a = if "Gr\u00f6\u00dfe" == "Gro\u0308\u00dfe" then 1 else 2').value).toBe(1);
  });

  it('that only look alike are told', () => {
    const codes = (text: string): string[] =>
      open({ 'm.gus': text })
        .findings('m.gus')
        .filter(({ code }) => code === 'look-alike')
        .map(({ message }) => message);
    expect(codes('requirement СТR-010 "It shall." { check 1 <= 2 }')[0]).toContain('С U+0421, Т U+0422');
    expect(codes('let a = 1 mm\nlet а = 2 mm\n')[0]).toContain('а U+0430');
    expect(codes('let σ_b = 1 mm\nlet ΔT = 2 K\nlet Größe = 3\nlet ширина = 4\n')).toEqual([]);
  });
});

describe('mending', () => {
  const slips = ['0,125', '1_000', '1 000', '.5', '3×10³', '12,5', '5\u00a0'];
  it('as it is told leaves no slip', () => {
    fc.assert(
      fc.property(fc.array(fc.constantFrom(...slips), { minLength: 1, maxLength: 5 }), numbers => {
        let text = numbers.map((number, i) => `let v${i} = ${number} N\n`).join('') + 'let a = v0\n';
        const before = open({ 'm.gus': text });
        const found = before.findings('m.gus').filter(({ code }) => code === 'syntax');
        for (const { start, end, found: each } of found.toReversed())
          text = text.slice(0, start) + each.data['replacement 1'] + text.slice(end);
        expect(found.length).toBe(numbers.length);
        expect(read(text).told).toEqual([]);
        expect(read(text).value).not.toBeNull();
      }),
      { numRuns: 50 },
    );
  });
});
