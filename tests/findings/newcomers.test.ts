/** What somebody new to the language writes, and where that is told. */
import { describe, expect, test } from 'vitest';
import { findingsOf, open, type Files } from './project.js';

/** Findings at or above information but for what is asked of a finished project, as `line code`. */
function told(text: string, more: Files = {}): readonly string[] {
  const HOUSEKEEPING = new Set(['tbd', 'part-without-material', 'requirement-without-parent', 'unused-name']);
  return findingsOf({ 'a.gus': text, ...more })
    .filter(({ code }) => !HOUSEKEEPING.has(code))
    .map(({ start, code }) => `${text.slice(0, start).split('\n').length} ${code}`);
}

const messages = (text: string, code: string, more: Files = {}): readonly string[] =>
  findingsOf({ 'a.gus': text, ...more })
    .filter(finding => finding.code === code)
    .map(({ message }) => message);

describe('what a kind is given is told at the instance', () => {
  const joint = (given: string, more = ''): string => `kind Joint {
  given d: length, bolts: number, thread: text
  let area = 3 * d^2 * bolts
  let core = ["M5" -> 4 mm, "M6" -> 5 mm]
  requirement J-1 "It shall hold." { check 4 kN / area <= 500 MPa   verify by analysis }
  requirement J-2 "It shall fit." { check core(thread) <= d   verify by analysis }
}
part A is Joint { ${given} }
${more}`;

  test.each([
    ['nothing where all is right', 'd = 6 mm   bolts = 4   thread = "M5"', []],
    ['another dimension', 'd = 2 kg   bolts = 4   thread = "M5"', ['8 field-dimension']],
    ['a text for a number', 'd = 6 mm   bolts = "4"   thread = "M5"', ['8 field-dimension']],
    ['a number for a text', 'd = 6 mm   bolts = 4   thread = 5', ['8 field-dimension']],
    ['a key that the table lacks', 'd = 6 mm   bolts = 4   thread = "M7"', ['8 table-key-unknown']],
  ])('%s', (_, given, expected) => {
    expect(told(joint(given))).toEqual(expected);
  });

  test('what is to be determined has the dimension that is asked for, and leaves its checks undetermined', () => {
    const found = findingsOf({ 'a.gus': joint('d = TBD   bolts = 4   thread = "M5"') });
    expect(found.map(({ code }) => code)).not.toContain('cannot-compare');
    expect(found.filter(({ code }) => code === 'tbd')).toHaveLength(1);
    expect(found.filter(({ code }) => code === 'undetermined').map(({ message }) => message)).toEqual([
      'J-1/A is undetermined. A.d is to be determined. What needs it is undetermined until then.',
      'J-2/A is undetermined. A.d is to be determined. What needs it is undetermined until then.',
    ]);
  });

  test("several quantities in place of one are the reader's to take", () => {
    const list = `kind Row { given pitch: length   requirement R-1 "It shall fit." { check sum(pitch) <= 9 mm   verify by analysis } }
part A is Row { pitch = [2 mm, 3 mm] }`;
    expect(told(list)).toEqual([]);
  });

  test('in words', () => {
    expect(messages(joint('d = 2 kg   bolts = "4"   thread = "M7"'), 'field-dimension')).toEqual([
      'd must be a quantity of length, as Joint is given it, and this is mass.',
      'bolts must be a plain number, as Joint is given it, and this is a text.',
    ]);
    expect(messages(joint('d = 6 mm   bolts = 4   thread = "M7"'), 'table-key-unknown')).toEqual([
      'core, which Joint asks with this, has no row "M7". It has: M5, M6.',
    ]);
  });

  test('one instance that is wrong leaves the others alone, and follows edits', () => {
    const right = 'd = 6 mm   bolts = 4   thread = "M5"';
    const statuses = (): string[] =>
      project.view.verification.index.requirements.map(
        entity => `${entity.label} ${project.view.verification.result(entity).status}`,
      );
    const project = open({ 'a.gus': joint(right, 'part B is Joint { d = 2 kg   bolts = 4   thread = "M5" }') });
    const broken = ['J-1/A verified', 'J-1/B undetermined', 'J-2/A verified', 'J-2/B undetermined'];
    expect(statuses()).toEqual(broken);
    project.setText('a.gus', joint(right, 'part B is Joint { d = 7 mm   bolts = 4   thread = "M5" }'));
    project.update();
    expect(statuses().every(each => each.endsWith(' verified'))).toBe(true);
    project.setText('a.gus', joint(right, 'part B is Joint { d = 2 kg   bolts = 4   thread = "M5" }'));
    project.update();
    expect(statuses()).toEqual(broken);
  });
});

test('a waiver accepts a condition and no number', () => {
  const waiver = (terms: string): string => `requirement R-1 "It shall hold." { check 3 N <= 2 N   verify by analysis }
waiver W-1 for R-1 { accepts ${terms}   reason = "Shown"   approved = "Board"   expires = 2030-01-01 }`;
  expect(told(waiver('-0.5'))).toEqual(['1 failing-margin', '2 condition-expected']);
  expect(messages(waiver('-0.5'), 'condition-expected')).toEqual([
    'A condition such as a <= b is due here, not a quantity. Write accepts margin >= -0.5.',
  ]);
  expect(told(waiver('margin >= -0.5'))).toEqual([]);
});

test.each([
  ['sin(30)', true],
  ['cos(-45)', true],
  ['tan(7)', true],
  ['sin(6)', false],
  ['sin(30 deg)', false],
  ['sqrt(30)', false],
])('%s has an angle without a unit: %s', (call, isTold) => {
  expect(messages(`let a = ${call}`, 'angle-without-unit')).toHaveLength(isTold ? 1 : 0);
  expect(messages(`part P { let a = ${call} }`, 'angle-without-unit')).toHaveLength(isTold ? 1 : 0);
});

test('a row of results for a part that is none is told once, with how many and what is near', () => {
  const model = `part Tray { requirement R-1 "It shall hold." { check FE.vm(part = Tray, case = Lift) <= 9 MPa   verify by analysis } }
load Lift { axial = 2 g0 }
results FE = file("fe.csv") { part as part   case as load   vm as MPa }`;
  const rows = (...each: string[]): Files => ({ 'fe.csv': `part,case,vm\n${each.join('\n')}\n` });
  expect(messages(model, 'result-row-unknown', rows('Tray,Lift,3'))).toEqual([]);
  expect(
    messages(model, 'result-row-unknown', rows('Tray,Lift,3', 'Trya,Lift,3', 'Trya,Lift,4', 'Mast,Lift,1')),
  ).toEqual([
    'FE has 2 rows for "Trya" in part, and the project has no part of that name. Is Tray meant? (Also: "Mast".)',
  ]);
  expect(messages(model, 'result-row-unknown', rows('Tray,Lift,3', '4711,Lift,3'))).toEqual([]);
  expect(messages(model, 'result-row-unknown', rows('Tray,Lift,3', 'Tray,Lfit,3'))).toEqual([
    'FE has a row for "Lfit" in case, and the project has no load or case of that name. Is Lift meant?',
  ]);
});

describe('a lot that ages and does not say until when', () => {
  const model = (lot: string, kind = 'printed'): string => `material M { class = ${kind} }
part P { material = M   requirement R-1 "It shall hold." { verify by test }   requirement R-2 "It shall hold." { verify by test } }
lot L-1 of M { certificate = file("c.txt")   received = 2027-01-01   ${lot} }
article A-1 of P from L-1 { built = 2027-02-01 }
evidence TR-1 for R-1, R-2 on A-1 { method = test   report = file("c.txt")   date = 2027-03-01   result = pass }`;
  const count = (text: string): number => messages(text, 'lot-without-expiry', { 'c.txt': '' }).length;

  test('is told once where evidence rests on it', () => {
    expect(count(model(''))).toBe(1);
    expect(count(model('expires = 2028-01-01'))).toBe(0);
    expect(count(model('', 'metal'))).toBe(0);
    expect(count(model('').replace(/evidence.*/, ''))).toBe(0);
  });
});

test('a method that is none is one finding', () => {
  const requirement = (method: string): string =>
    `requirement R-1 "It shall hold." { check 1 N <= 2 N   verify by ${method} }`;
  expect(told(requirement('tests'))).toEqual(['1 unknown-word']);
  expect(told(requirement('test'))).toEqual(['1 unverified']);
  expect(told(requirement('tests, inspection'))).toEqual(['1 unverified', '1 unknown-word']);
});

describe('quotes that are forgotten, or of another kind, are one finding with the mend', () => {
  const body = '{\n  t = 3 mm\n  check 3 MPa <= 20 MPa\n  verify by analysis\n}';
  test.each([
    [
      'requirement R-9 The bolt shall hold.',
      'The text behind R-9 stands in double quotes: write "The bolt shall hold.".',
    ],
    [
      'requirement R-9 The bolt shall carry {3 N} twice.',
      'The text behind R-9 stands in double quotes: write "The bolt shall carry {3 N} twice.".',
    ],
    [
      "requirement R-9 'The bolt shall hold.'",
      `A text stands in double quotes: write "The bolt shall hold." instead of 'The bolt shall hold.'.`,
    ],
  ])('%s', (head, message) => {
    const text = `${head} ${body}`;
    const found = findingsOf({ 'a.gus': text });
    expect(found.map(finding => finding.message)).toEqual([message]);
    const [
      {
        start,
        end,
        found: { data },
      },
    ] = found as [(typeof found)[0]];
    const mended = text.slice(0, start) + data['replacement 1'] + text.slice(end);
    expect(findingsOf({ 'a.gus': mended }).filter(({ severity }) => severity === 'error')).toEqual([]);
    // Around it, another part keeps its findings; what stands behind it in the same block is read.
    expect(told(`part A {\n${text}\n}\npart B { let x = nothing }`)).toEqual(['2 syntax', '8 unknown-name']);
    const { verification } = open({ 'a.gus': text }).view;
    const statuses = verification.index.requirements.map(entity => verification.result(entity).status);
    expect(statuses).not.toContain('verified');
  });

  test("part Q 'Q' {", () => {
    expect(told("part Q 'Q' {\n  t = 3 mm\n}")).toEqual(['1 syntax']);
  });

  test.each([
    'requirement R-9 "The bolt shall hold." { check 1 N <= 2 N   verify by analysis }',
    'lot L-1 of M { }\nmaterial M { }',
    '// requirement R-9 The bolt shall hold. {\nlet a = 2 mm',
  ])('nothing is told of %s', text => {
    expect(findingsOf({ 'a.gus': text }).filter(({ code }) => code === 'syntax')).toEqual([]);
  });
});

test.each([
  ['=>', '>='],
  ['=<', '<='],
])('a comparison is written %s elsewhere', (written, meant) => {
  const text = `requirement R-1 "It shall fit." { check 3 mm ${written} 3 mm   verify by analysis }`;
  expect(told(text)).toEqual(['1 syntax']);
  expect(messages(text, 'syntax')).toEqual([`${written} is no comparison: write ${meant}.`]);
  expect(findingsOf({ 'a.gus': text }).find(({ code }) => code === 'syntax')!.found.data['replacement 1']).toBe(meant);
  expect(told(text.replace(written, meant))).toEqual([]);
});

test('a label without its sign in a calculation is one finding with the sign; a difference is none', () => {
  const model = (value: string): string => `part CG-10 { mass = 3 kg maturity measured }
part CG-11 { mass = 2 kg maturity measured }
let CH = 12
requirement R-1 "It shall be light." { check ${value} <= 5 kg   verify by analysis }`;
  const errors = (value: string): readonly string[] =>
    findingsOf({ 'a.gus': model(value) })
      .filter(({ severity }) => severity === 'error')
      .map(({ message }) => message);
  expect(errors('CG-10.mass')).toEqual(['CG-10 is a label: write #CG-10 in a calculation.']);
  expect(errors('CG-10.mass + CG-11.mass')).toEqual([
    'CG-10 is a label: write #CG-10 in a calculation.',
    'CG-11 is a label: write #CG-11 in a calculation.',
  ]);
  expect(errors('#CG-10.mass')).toEqual([]);
  expect(errors('(CH-10) * 1 kg')).toEqual([]);
  expect(errors('CG-12.mass')[0]).toMatch(/^There is no name CG here\./);
});
