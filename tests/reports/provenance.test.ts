/** What a reviewer asks for behind each status, in the report and in its text. */
import { expect, test } from 'vitest';
import { buildReport } from '../../server/reports/build-report.js';
import type { CheckReport } from '../../server/reports/check-report.js';
import { renderText } from '../../server/reports/text.js';
import { open, type Files } from '../findings/project.js';

const model = `project P "P" { revision = "A"   date = 2027-06-01 }
document GUIDE "Launch guide" { revision = "4.1"   date = 2026-03-02 }
assume A-1 "The load is shared evenly." { source = GUIDE "2.2"   rationale "Four equal feet." }
assume A-2 "Nothing creeps." { }
assume A-3 "Nobody rests on this." { }
load Lift "Lift-off" { axial = 4 g0   temperature = 20 degC   level = limit   source = GUIDE "table 4-2" }
load Shock "Shock" { peak = 900 g0 }
material Al { class = metal   yield = 400 MPa basis A source "sheet 11" }
part Lug "Lug" {
  material = Al
  drawing = "L-1" revision "B"
  let share = 25 % under A-1
  requirement R-1 "The lug shall not yield." {
    source = GUIDE "3.1"
    check yield for L in [Lift]: share * 10 kg * L.axial / (1 mm^2) <= material.yield under A-2
    verify by analysis, test on SN-1 qualification, inspection
  }
}
lot L-7 of Al { certificate = file("L-7.txt")   received = 2027-01-08 }
lot L-8 of Al { certificate = file("gone.txt")   received = 2027-01-08 }
article SN-1 "First lug" of Lug from L-7 { built = 2027-02-10   drawing = "L-1" revision "B" }
article SN-2 "Second lug" of Lug from L-8 { built = 2027-02-10   drawing = "L-1" revision "A" }
evidence TR-1 for R-1 on SN-1 "Pull test" { method = test   level = qualification   report = file("TR-1.txt")   date = 2027-03-02   result = pass }
evidence TR-2 for R-1 on SN-2 "Look" { method = inspection   report = file("TR-1.txt")   date = 2027-03-02   result = pass }
`;

function report(files: Files): CheckReport {
  return buildReport(open(files), { version: '0', values: ['Lift.axial', 'Ends', 'Aside', 'Size'], rows: false });
}

const found = report({
  'a.gus': `${model}let Ends = 10 degC .. 40 degC\nlet Aside = 2 g0 any\nlet Size = 3 mm ± 0.5 mm\n`,
  'L-7.txt': '',
  'TR-1.txt': '',
});

test('a requirement has its clause, its loads and the assumptions that it rests on', () => {
  const [requirement] = found.requirements;
  expect(requirement).toMatchObject({ source: 'GUIDE 4.1, 3.1', loads: ['Lift'], assumptions: ['A-2', 'A-1'] });
});

test('a method that is closed names its evidence, and one that is open what it lacks', () => {
  const [analysis, pull, look] = found.requirements[0]!.methods;
  expect(analysis).toMatchObject({ closed: true, by: 'passing check', evidence: [] });
  expect(pull).toMatchObject({ closed: true, evidence: ['TR-1'] });
  expect(look).toMatchObject({ closed: false, evidence: [] });
  expect(look!.open.join()).toContain('SN-2 was built to L-1 revision A, and L-1 revision B is in force');
});

test('the chain leads from evidence to articles, lots and certificates', () => {
  expect(found.evidence[0]).toMatchObject({
    label: 'TR-1',
    date: '2027-03-02',
    result: 'pass',
    articles: ['SN-1'],
    open: [],
  });
  expect(found.articles[0]).toMatchObject({ label: 'SN-1', of: 'Lug', lots: ['L-7'], built: '2027-02-10', open: [] });
  expect(found.lots).toEqual([
    { label: 'L-7', material: 'Al', certificate: 'L-7.txt', received: '2027-01-08', expires: null, open: [] },
    {
      label: 'L-8',
      material: 'Al',
      certificate: 'gone.txt',
      received: '2027-01-08',
      expires: null,
      open: ['the certificate of L-8, gone.txt, is not in the project'],
    },
  ]);
  expect(found.sources).toEqual([{ name: 'GUIDE', title: 'Launch guide', revision: '4.1', date: '2026-03-02' }]);
  expect(found.loadEvents).toEqual([
    { name: 'Lift', title: 'Lift-off', level: 'limit', source: 'GUIDE 4.1, table 4-2' },
    { name: 'Shock', title: 'Shock', level: null, source: null },
  ]);
  expect(found.assumptions[0]).toEqual({
    label: 'A-1',
    text: 'The load is shared evenly.',
    source: 'GUIDE 4.1, 2.2',
    rationale: 'Four equal feet.',
  });
});

test('the text says it under each requirement', () => {
  expect(renderText(found)).toContain(`
R-1 unverified: The lug shall not yield. (Lug)
  source            GUIDE 4.1, 3.1
  analysis          passing check
  test              on SN-1 at qualification level: TR-1 of 2027-03-02, pass, on SN-1 from L-7 (L-7.txt)
  inspection        OPEN: inspection is open: SN-2 was built to L-1 revision A, and L-1 revision B is in force; inspection is open: the
                    certificate of L-8, gone.txt, is not in the project
  loads             Lift (GUIDE 4.1, table 4-2)
  assumes           A-2 Nothing creeps.
  assumes           A-1 The load is shared evenly. (Four equal feet; GUIDE 4.1, 2.2)
`);
});

test('a brief text has what is not verified, the values asked for and the counts, and nothing else', () => {
  expect(renderText(found, { brief: true })).toMatch(/\nVALUES\n/);
  const brief = renderText({ ...found, values: [] }, { brief: true });
  expect(brief.match(/^[A-Z][A-Z ]{5,}.*$/gm)).toEqual(['CHECK REPORT', 'REQUIREMENTS NOT PROVEN, worst first']);
  expect(brief).toContain('1 requirement: 1 unverified');
});

test('values that vary, ranges and directions have a lowest and a highest', () => {
  expect(found.values.map(({ name, value, low, high, unit }) => [name, value, low, high, unit])).toEqual([
    ['Lift.axial', 4, 4, 4, 'g0'],
    ['Ends', null, 10, 40, 'degC'],
    ['Aside', null, -2, 2, 'g0'],
    ['Size', 3, 2.5, 3.5, 'mm'],
  ]);
});

test('a mass is held against its limit apart from strength, and its tolerance is told', () => {
  const text = renderText(
    report({
      'a.gus': 'part Bus { mass = 5 kg ± 1 kg }\nrequirement R-1 "It shall be light." { check Bus.mass <= 7 kg }',
    }),
  );
  expect(text).not.toContain('MARGINS OF STRENGTH');
  expect(text).toMatch(
    /MARGINS OF MASS, lowest first\n.*\n.*\n.*6 kg {2}<= 7 kg.*\nApplied here is a mass at the worst/,
  );
  expect(text).toContain('Predicted mass 5 kg nominal, 6 kg at the worst of its tolerances.');
});

test.each([
  ['an interaction', 'F.u * 3 N / (5 N)', '(x)^2 + (x)^3 <= 1', ['F.u 1.4']],
  ['a root of squares', 'F.u * 3 N', 'sqrt((x)^2 + (x)^2) <= 9 N', ['F.u 1.4']],
  ['a product with itself', 'F.u * 3 N', 'F.u * x <= 9 N', ['F.u 1.4', 'F.u 1.4']],
  ['a factor squared', 'F.u^2 * 3 N', 'x <= 9 N', ['F.u 1.4', 'F.u 1.4']],
])('the factors of %s are printed as often as they are applied', (_, x, check, factors) => {
  const { requirements } = report({
    'a.gus': `factors F { class = metal   tested = yes   level = limit   u = 1.4 }\nrequirement R-1 "It shall hold." { let x = ${x}\n check ${check} }`,
  });
  expect(requirements[0]!.checks[0]!.factors).toEqual(factors);
});

test('rows of a file are named by their text, and how a load was made of them is not in its case', () => {
  const { requirements } = report({
    'a.gus': `table Rows = file("a.csv") { event as text   axial as g0 }
load Lift { axial = max(for r in Rows: r.axial) }
requirement R-1 "It shall hold." {
  check rows for r in Rows: 2 kg * r.axial <= 900 N
  check load for L in [Lift]: 2 kg * L.axial <= 900 N
}`,
    'a.csv': 'event,axial\nLift-off,2\nCut-off,9\n',
  });
  expect(requirements[0]!.checks.map(check => check.governing)).toEqual(['Rows row 2 (Cut-off)', 'Lift']);
});
