/** A status names the condition, the value and the input behind it: in the report, in hovers and in findings. */
import { expect, test } from 'vitest';
import { buildReport } from '../../server/reports/build-report.js';
import { open } from './project.js';

const model = `project P "P" { date = 2027-06-01 }
load Lift { axial = 6 g0 .. 9 g0   temperature = 20 degC }
let Late = TBD mm owner "mass lead" due CDR
let two = 2
milestone CDR { date = 2027-09-01 }
material Al { class = metal   yield = [0 degC -> 400 MPa, 20 degC -> 380 MPa] basis A source "sheet 11" }
results FE = file("fe.csv") { part as part   case as load   vm as MPa }
kind Joint {
  given d: length
  requirement J "It shall hold." { check 1 mm <= d }
}
part J1 is Joint {}
part Tray {
  t = 2.2 mm
  requirement R "It shall be thick." { CHECK }
}
evidence TR for R-T { method = review   report = file("TR.txt")   date = 2027-03-02   result = pass   HOLDS }
requirement R-T "It shall be reviewed." { verify by review }
`;

function reasons(label: string, check: string, holds = ''): readonly string[] {
  const project = open({
    'a.gus': model.replace('CHECK', check).replace('HOLDS', holds),
    'fe.csv': 'part,case,vm\nTray,Lift,300\n',
    'TR.txt': '',
  });
  const report = buildReport(project, { version: '0', values: [], rows: false });
  return report.requirements.find(requirement => requirement.label === label)!.reasons;
}

test.each([
  [
    'an input to be determined',
    'check late: Late >= t',
    'the late check is undetermined: Late is to be determined by mass lead, due CDR',
  ],
  [
    'a table that does not reach so far',
    'check hot: 200 MPa <= Al.yield(40 degC)',
    'the hot check is undetermined: Al.yield is asked at 40 degC; it reaches from 0 degC to 20 degC',
  ],
  [
    'an error in what it reads',
    'let x = t + nothing   check x >= 2 mm',
    'the check is undetermined: There is no name nothing here',
  ],
  ['a division by zero', 'check t / (two - 2) >= 2 mm', /^the check is undetermined: .*zero/],
  ['a failing margin', 'check thick: t >= 2.4 mm', 'the thick check fails: 2.2 mm against 2.4 mm, margin -0.09'],
  [
    'a failing margin in a case',
    'check for L in [Lift]: 1 kg * L.axial.high <= 80 N',
    'the check fails in Lift: 88.26 N against 80 N, margin -0.10',
  ],
])('of %s', (_, check, reason) => {
  expect(reasons('R', check)).toEqual([typeof reason === 'string' ? reason : expect.stringMatching(reason)]);
});

test('of what an instance lacks', () => {
  expect(reasons('J/J1', 'check t >= 1 mm')).toEqual(['the check is undetermined: J1 gives d no value']);
});

test.each([
  ['nothing where it holds', 'Tray.t >= 2 mm', ['no']],
  [
    'the part of a condition that is false, with its values',
    'Lift.axial.high <= 9 g0 and Tray.t >= 2.4 mm',
    ['the evidence of review has lapsed: TR holds only while Tray.t >= 2.4 mm, and Tray.t is 2.2 mm'],
  ],
  [
    'values on both sides, and one between others',
    'Tray.t >= 2 * Tray.t and 1 mm <= Tray.t <= 2 mm',
    [
      'the evidence of review has lapsed: TR holds only while Tray.t >= 2 * Tray.t, and Tray.t is 2.2 mm, 2 * Tray.t is 4.4 mm',
      'the evidence of review has lapsed: TR holds only while 1 mm <= Tray.t <= 2 mm, and Tray.t is 2.2 mm',
    ],
  ],
  [
    'what can not be told',
    'Tray.t >= Late',
    [
      "the evidence of review has lapsed: TR holds only while Tray.t >= Late, which can't be told: Late is to be determined by mass lead, due CDR",
    ],
  ],
])('of a lapsed condition: %s', (_, condition, said) => {
  const found = reasons('R-T', 'check t >= 1 mm', `holds while ${condition}`);
  expect(found).toEqual(said[0] === 'no' ? [] : said);
});
