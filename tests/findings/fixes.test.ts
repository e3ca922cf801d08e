import { describe, expect, test } from 'vitest';
import { TextDocument } from 'vscode-languageserver-textdocument';
import type { CodeAction } from 'vscode-languageserver-types';
import { RULES } from '../../server/findings/index.js';
import { findingPages } from '../../server/findings/generated/pages.js';
import { call, contextOf } from '../support/features.js';
import { codesOf, findingsOf, open, readPage, type Files } from './project.js';

const FILE = 'example.gus';

const codesAndCauses = (files: Files): string[] =>
  findingsOf(files).flatMap(({ code, found }) => (found.cause ? [code, found.cause.code] : [code]));

interface Fixed {
  readonly title: string;
  readonly text: string;
  readonly files: Files;
  readonly preferred: boolean;
  readonly begins: boolean;
}

/** The quick fixes offered at the place of a finding, each with the files as they are after it. */
function fixed(files: Files, code: string): readonly Fixed[] {
  const project = open(files);
  const finding = project.files
    .flatMap(file => project.findings(file))
    .find(candidate => candidate.code === code || candidate.found.cause?.code === code)!;
  const context = contextOf(project, finding.file);
  const range = { start: context.lines.position(finding.start), end: context.lines.position(finding.end) };
  const actions = (
    call('textDocument/codeAction', context, { range, context: { only: ['quickfix'] } }) as CodeAction[]
  ).filter(action => action.diagnostics![0]!.code === finding.code && !action.title.startsWith('Switch off'));
  return actions.map(action => {
    const after = Object.fromEntries(
      Object.entries(files).map(([path, text]) => [
        path,
        TextDocument.applyEdits(TextDocument.create('', 'gusset', 1, text), action.edit!.changes![path] ?? []),
      ]),
    );
    return {
      title: action.title,
      text: after[FILE]!,
      files: after,
      preferred: action.isPreferred === true,
      begins: action.title.startsWith('Begin '),
    };
  });
}

/** Whose wrong example has nothing that the fix could take: what they need is in a test of its own. */
const NEEDS_MORE = new Set([
  'condition-expected',
  'no-lot',
  'part-without-lot',
  'factor-class',
  'unknown-label',
  'unknown-type',
  'unknown-argument',
  'unknown-code',
  'table-key-unknown',
  'argument-missing',
  'statement-number',
  'foreign-material',
]);

const fixable = findingPages.flatMap(({ path, text }) => {
  const code = path.replace(/\.md$/, '');
  const { wrong } = readPage(text);
  return RULES.get(code)?.fix && wrong ? [{ code, wrong }] : [];
});

describe.each(fixable)('$code', ({ code, wrong }) => {
  test('each quick fix mends the wrong example and breaks nothing', () => {
    const offers = fixed(wrong, code);
    if (!NEEDS_MORE.has(code)) expect(offers.length).toBeGreaterThan(0);
    expect(offers.filter(({ preferred }) => preferred).length).toBeLessThanOrEqual(1);
    for (const { files, begins, text } of offers) {
      const codes = codesAndCauses(files);
      // What is only begun stays open: as the same finding, or as something to be determined.
      if (begins)
        expect(
          codes.some(left => left === code || left === 'tbd'),
          text,
        ).toBe(true);
      else expect(codes, text).not.toContain(code);
      expect(codes, text).not.toContain('syntax');
    }
  });
});

const only = (text: string, code: string): string[] => {
  const offers = fixed({ [FILE]: text }, code);
  for (const { files, text: after } of offers) expect(codesAndCauses(files), after).not.toContain(code);
  return offers.map(({ text: after }) => after);
};

describe('quick fixes that look round the project', () => {
  const LOADED =
    'load Lift { axial = 10 g0   level = limit }\nmaterial M { class = metal   yield = 400 MPa basis A source "x" }\nmaterial N { class = metal   yield = 500 MPa basis A source "x" }\n';
  const part = (check: string, verify = 'analysis, test'): string =>
    `part Bar {\n  material = M\n  let sigma(L) = 2 kg * L.axial / (10 mm^2)\n  requirement R-1 "The bar shall carry its load." {\n    check yield for L in [Lift]: ${check}\n    verify by ${verify}\n  }\n}\n`;

  test('the lots of the material', () => {
    const text =
      'project P { date = 2027-06-01 }\nmilestone CDR { date = 2027-04-20 }\nmaterial M { density = 2 g/cm^3 }\nlot L-1 of M { certificate = file("a.txt") }\nlot L-2 of M { certificate = file("a.txt") }\nlot L-3 of N { certificate = file("a.txt") }\npart Rail { drawing = "SP-1"   material = M }\n';
    expect(only(text, 'part-without-lot')).toEqual(
      ['L-1', 'L-2'].map(lot => text.replace('material = M }', `material = M from ${lot} }`)),
    );
  });

  test('the factor of the mode, on the applied side', () => {
    const factors = 'factors Metal { class = metal   tested = yes   level = limit   yield = 1.25 }\n';
    expect(only(LOADED + factors + part('sigma(L) + 1 MPa <= material.yield'), 'factor-missing')).toEqual([
      LOADED + factors + part('Metal.yield * (sigma(L) + 1 MPa) <= material.yield'),
    ]);
    expect(only(LOADED + factors + part('material.yield >= sigma(L)'), 'factor-missing')).toEqual([
      LOADED + factors + part('material.yield >= Metal.yield * sigma(L)'),
    ]);
    expect(
      only(LOADED + factors + part('Metal.yield * sigma(L) <= material.yield', 'analysis'), 'factor-untested'),
    ).toEqual([LOADED + factors + part('Metal.yield * sigma(L) <= material.yield')]);
  });

  test('the set for the class of the material, the material of the part', () => {
    const factors =
      'factors Printed { class = printed   level = limit   yield = 1.5 }\nfactors Metal { class = metal   level = limit   yield = 1.25 }\n';
    expect(only(LOADED + factors + part('Printed.yield * sigma(L) <= material.yield'), 'factor-class')).toEqual([
      LOADED + factors + part('Metal.yield * sigma(L) <= material.yield'),
    ]);
    expect(only(LOADED + part('sigma(L) <= N.yield'), 'foreign-material')).toEqual([
      LOADED + part('sigma(L) <= material.yield'),
    ]);
  });

  test('the next free label', () => {
    const text =
      'requirement R-1 "It shall hold." { verify by test }\nrequirement R-2 "It shall hold." { verify by test }\npart A { requirement R-1 "It shall hold." { verify by test } }\n';
    expect(only(text, 'duplicate-name')).toEqual([text.replace('A { requirement R-1', 'A { requirement R-3')]);
  });

  test('a number in a statement and the limit of its check are one', () => {
    const named =
      'requirement R-1 "The frequency shall be at least 120 Hz." { let least = 100 Hz   check 130 Hz >= least   verify by analysis }\n';
    expect(only(named, 'statement-number')).toEqual([named.replace('120 Hz', '{least}')]);
    const written =
      'requirement R-1 "The frequency shall be at least 120 Hz." {\n  check 130 Hz >= 100 Hz\n  verify by analysis\n}\n';
    expect(only(written, 'statement-number')).toEqual([
      'requirement R-1 "The frequency shall be at least {limit}." {\n  check 130 Hz >= limit\n  verify by analysis\n  let limit = 100 Hz\n}\n',
    ]);
  });

  test('rows of a table, to be determined, on either side', () => {
    const text =
      'let E = [0 degC -> 3 MPa, 50 degC -> 2 MPa]\nrequirement R-1 "It shall hold." { check 1 MPa <= E(80 degC)   verify by analysis }\n';
    const [high] = fixed({ [FILE]: text }, 'outside-table');
    expect(high).toMatchObject({
      title: 'Begin a row at 80 degC',
      preferred: false,
      text: text.replace('2 MPa]', '2 MPa, 80 degC -> TBD MPa]'),
    });
    expect(codesAndCauses({ [FILE]: high!.text.replace('TBD', '1.5') })).toEqual([]);
    const cold = text.replace('E(80', 'E(-20');
    expect(fixed({ [FILE]: cold }, 'outside-table').map(offer => offer.text)).toEqual([
      cold.replace('[0 degC', '[-20 degC -> TBD MPa, 0 degC'),
    ]);
    expect(
      only(
        'let E = [50 degC -> 2 MPa, 0 degC -> 3 MPa, 20 degC -> 4 MPa]\nlet x = E(10 degC)\n',
        'table-not-ascending',
      ),
    ).toEqual(['let E = [0 degC -> 3 MPa, 20 degC -> 4 MPa, 50 degC -> 2 MPa]\nlet x = E(10 degC)\n']);
  });

  test('what is misspelt', () => {
    expect(only('formula f(width: lenght): length = 2 mm\nlet x = f(width = 3 mm)\n', 'unknown-type')).toEqual([
      'formula f(width: length): length = 2 mm\nlet x = f(width = 3 mm)\n',
    ]);
    expect(only('formula f(width: length): length = 2 * width\nlet x = f(widht = 3 mm)\n', 'unknown-argument')).toEqual(
      ['formula f(width: length): length = 2 * width\nlet x = f(width = 3 mm)\n'],
    );
    expect(only('let T = ["M5" -> 3 mm, "M6" -> 4 mm]\nlet x = T("M56")\n', 'table-key-unknown')).toHaveLength(1);
    expect(only('project P { severity thin-margn = off }\n', 'unknown-code')).toEqual([
      'project P { severity thin-margin = off }\n',
    ]);
    expect(only('requirement STR-001 "It shall hold." { verify by test }\nlet x = #STR-01\n', 'unknown-label')).toEqual(
      ['requirement STR-001 "It shall hold." { verify by test }\nlet x = #STR-001\n'],
    );
    expect(only('requirement R-1 "It shall hold." { verify by tst, analysis }\n', 'unknown-word')).toEqual([
      'requirement R-1 "It shall hold." { verify by test, analysis }\n',
    ]);
  });

  test('a waiver that accepts a number', () => {
    expect(only('waiver W-1 for R-1 { accepts -0.05 }\n', 'condition-expected')).toEqual([
      'waiver W-1 for R-1 { accepts margin >= -0.05 }\n',
    ]);
  });

  test('a name that is misspelt in several places of a block, and a unit', () => {
    expect(only('part P {\n  width = 2 mm\n  let a = widht\n  let b = 2 * widht\n}\n', 'unknown-name')).toEqual([
      'part P {\n  width = 2 mm\n  let a = width\n  let b = 2 * width\n}\n',
    ]);
    expect(only('let t = [1 Hz -> 2 g^2/Hz, 2 Hz -> 3 g^2/Hz]\n', 'unknown-unit')).toEqual([
      'let t = [1 Hz -> 2 g0^2/Hz, 2 Hz -> 3 g0^2/Hz]\n',
    ]);
  });

  test('an argument that is missing is to be determined', () => {
    expect(only('let x = bending_stress(M = 3 N*m, b = 2 mm)\n', 'argument-missing')).toEqual([
      'let x = bending_stress(M = 3 N*m, b = 2 mm, h = TBD mm)\n',
    ]);
  });

  test('a load is exempt with a reason', () => {
    const text =
      'load Lift { axial = 5 g0   level = limit }\nload Cutoff { axial = 9 g0   level = limit }\npart Bar {\n  requirement R-1 "The bar shall hold." { check for L in [Lift]: 1 kg * L.axial <= 100 N   verify by analysis }\n}\n';
    expect(only(text, 'load-not-swept')).toEqual([
      text.replace('verify by analysis }\n}', 'verify by analysis }\n  exempt Cutoff because "…"\n}'),
    ]);
  });

  test('a sweep without the name that it does not use', () => {
    const text = (check: string): string => `requirement R-1 "It shall hold." {\n  ${check}\n  verify by analysis\n}\n`;
    expect(only(text('check for T in [1, 2]: 3 N <= 4 N'), 'unused-binder')).toEqual([text('check 3 N <= 4 N')]);
    expect(only(text('check mode for T in [1, 2]: 3 N <= 4 N'), 'unused-binder')).toEqual([
      text('check mode: 3 N <= 4 N'),
    ]);
    expect(only(text('check for T in [1, 2], x in [3, 4]: x <= 4'), 'unused-binder')).toEqual([
      text('check for x in [3, 4]: x <= 4'),
    ]);
    expect(only(text('check for x in [3, 4], T in [1, 2]: x <= 4'), 'unused-binder')).toEqual([
      text('check for x in [3, 4]: x <= 4'),
    ]);
  });

  test('what nothing reads goes, with what is said of it', () => {
    expect(
      fixed(
        {
          [FILE]:
            'material M {\n  E = 3 GPa\n  let unused = 3 MPa basis A source "x" tbc\n  let other = 2 MPa\n}\nlet y = M.other\n',
        },
        'unused-name',
      )[0]!.text,
    ).toContain('  E = 3 GPa\n  let other = 2 MPa\n');
    expect(only('part A { t = 3 mm tbc   w = 2 mm   t = 4 mm tbc   h = 1 mm }\n', 'duplicate-field')).toEqual([
      'part A { t = 3 mm tbc   w = 2 mm   h = 1 mm }\n',
    ]);
  });

  test('evidence is begun, and counts when the engineer says that it passed', () => {
    const text =
      'project P { date = 2027-06-01 }\narticle A-1 of Lug { built = 2027-01-01 }\nevidence TR-1 for R-0 on A-1 { method = test   report = file("reports/TR-2.csv")   date = 2027-01-01   result = pass }\npart Lug {\n  requirement R-0 "It shall hold." { verify by test }\n  requirement R-1 "It shall hold." { check 3 N <= 4 N   verify by test qualification }\n}\n';
    const files = { 'reports/TR-2.csv': '' };
    const [offer, ...others] = fixed({ [FILE]: text, ...files }, 'unverified');
    expect(others).toEqual([]);
    expect(offer!.preferred).toBe(false);
    expect(offer!.text).toBe(
      `${text}\nevidence TR-2 for R-1 on A-1 {\n  method = test\n  level = qualification\n  report = file("reports/TR-2.csv")\n  date = 2027-06-01\n  result = inconclusive\n}\n`,
    );
    expect(codesOf({ [FILE]: offer!.text, ...files })).toContain('unverified');
    expect(codesOf({ [FILE]: offer!.text.replace('inconclusive', 'pass'), ...files })).not.toContain('unverified');
  });

  test('a check is begun where analysis has nothing to check', () => {
    const text = 'requirement R-1 "It shall hold." {\n  verify by analysis\n}\n';
    const [offer] = fixed({ [FILE]: text }, 'unverified');
    expect(offer).toMatchObject({
      title: 'Begin a check of R-1',
      text: 'requirement R-1 "It shall hold." {\n  verify by analysis\n  check TBD <= TBD\n}\n',
    });
    expect(codesOf({ [FILE]: offer!.text.replace('TBD <= TBD', '3 N <= 4 N') })).toEqual([]);
  });

  test('what only informs can be switched off for the project', () => {
    const text = 'project P {\n  date = 2027-06-01\n}\npart A { mass = TBD kg }\n';
    const project = open({ [FILE]: text });
    const context = contextOf(project, FILE);
    const at = context.lines.position(text.indexOf('TBD'));
    const action = (
      call('textDocument/codeAction', context, {
        range: { start: at, end: at },
        context: { only: ['quickfix'] },
      }) as CodeAction[]
    ).find(({ title }) => title.startsWith('Switch off tbd'))!;
    const after = TextDocument.applyEdits(TextDocument.create('', 'gusset', 1, text), action.edit!.changes![FILE]!);
    expect(after).toContain('  date = 2027-06-01\n  severity tbd = off\n}');
    expect(codesOf({ [FILE]: after })).not.toContain('tbd');
  });
});

test('a statement is added in the layout of its block', () => {
  const block = 'requirement R-1 "It shall hold." {\n  check 3 N <= 4 N\n}\n';
  expect(fixed({ [FILE]: block }, 'requirement-without-method')[0]!.text).toBe(
    'requirement R-1 "It shall hold." {\n  check 3 N <= 4 N\n  verify by analysis\n}\n',
  );
  expect(
    fixed({ [FILE]: 'requirement R-1 "It shall hold." { check 3 N <= 4 N }\n' }, 'requirement-without-method')[0]!.text,
  ).toBe('requirement R-1 "It shall hold." { check 3 N <= 4 N   verify by analysis }\n');
  expect(fixed({ [FILE]: 'requirement R-1 "It shall hold."\n' }, 'requirement-without-method')[0]!.text).toBe(
    'requirement R-1 "It shall hold." { verify by analysis }\n',
  );
});
