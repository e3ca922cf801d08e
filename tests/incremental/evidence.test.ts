/** Statuses follow whatever evidence rests on: edited, they are as if opened so. */
import { describe, expect, test } from 'vitest';
import type { Project } from '../../server/project/project.js';
import { openTexts, settle } from '../support/fixture.js';

const MODEL = `project P "P" { date = 2027-06-01 }
milestone Delivery "Delivery" { date = 2028-02-01 }
material Alloy "Alloy" { class = metal   density = 2.7 g/cm^3 }
material Resin "Resin" { class = bonded   density = 1.1 g/cm^3 }
lot L-1 of Alloy { certificate = file("cert.txt")   received = 2027-01-08 }
lot L-2 of Resin { certificate = file("cert.txt")   received = 2027-01-08   expires = 2028-01-08 }
part Bus "Bus" {
  drawing = "D-1" revision "C"
  slot payload = Head
  part Lug "Lug" {
    drawing = "D-2" revision "B"
    material = Alloy from L-1
    mass = 2 kg
    requirement R-1 "The lug shall hold." { check 3 N <= 4 N   verify by analysis, test }
    requirement R-2 "The lug shall weigh no more than {limit}." { let limit = 3 kg   check mass <= limit   verify by test }
  }
}
part Head "Head" {
  mass = 1 kg
  requirement R-3 "The head shall hold." { verify by test }
}
part Spare "Spare head" { mass = 1 kg }
requirement R-4 "The lug shall weigh what it weighed." { check #TR-2.mass <= 3 kg   verify by analysis }
requirement R-5 "It shall hold." { check 2 N <= 1.95 N   verify by analysis }
article A-1 of Lug from L-1 { drawing = "D-2" revision "B"   built = 2027-02-01 }
article A-2 of Bus { drawing = "D-1" revision "C"   built = 2027-02-01 }
evidence TR-1 for R-1 on A-1 { method = test   report = file("TR-1.txt")   date = 2027-03-01   result = pass }
evidence TR-2 for R-2 on A-1 { method = test   report = file("TR-1.txt")   date = 2027-03-01   result = pass   measured mass = 2.1 kg }
evidence TR-3 for R-3 on A-2 { method = test   report = file("TR-1.txt")   date = 2027-03-01   result = pass }
article A-3 of Lug from L-1 { drawing = "D-2" revision "B"   built = 2027-02-01 }
nonconformance NC-1 for R-1 on A-3 { disposition = scrap   date = 2027-05-01   reason = "Dent" }
part Tray "Tray" { t = 2.2 mm   let half = 0.5 * t   requirement R-6 "It shall be thick." { verify by review } }
evidence TR-4 for R-6 { method = review   report = file("TR-1.txt")   date = 2027-03-01   result = pass   holds while Tray.half >= 2.4 mm and Tray.t >= 1 mm }
waiver W-1 for R-5 { accepts margin >= -0.05   reason = "Shown"   approved = "Board"   expires = Delivery }
`;
const FILES = { 'cert.txt': 'Certificate', 'TR-1.txt': 'Report' };

const EDITS: readonly (readonly [string, string, string])[] = [
  ['the drawing of a part', '"D-2" revision "B"\n    material', '"D-2" revision "C"\n    material'],
  ['the drawing of an assembly', '"D-1" revision "C"\n  slot', '"D-1" revision "D"\n  slot'],
  ['the material of a part', 'material = Alloy from', 'material = Resin from'],
  ['the material of a lot', 'lot L-1 of Alloy', 'lot L-1 of Resin'],
  ['the day of a lot', 'received = 2027-01-08 }\nlot L-2', 'received = 2027-02-08 }\nlot L-2'],
  ['the class of a material', 'class = metal', 'class = printed'],
  ['the day of an article', 'built = 2027-02-01 }\narticle A-2', 'built = 2027-03-02 }\narticle A-2'],
  ['the part of an article', 'article A-1 of Lug', 'article A-1 of Head'],
  ['the name of a part', 'part Lug "Lug"', 'part Lag "Lug"'],
  ['what fills a slot', 'slot payload = Head', 'slot payload = Spare'],
  ['the day of judgement', 'date = 2027-06-01', 'date = 2027-02-20'],
  ['a milestone', 'Delivery" { date = 2028-02-01', 'Delivery" { date = 2027-02-01'],
  ['a result', 'result = pass }\nevidence TR-2', 'result = fail }\nevidence TR-2'],
  ['what was measured', 'measured mass = 2.1 kg', 'measured mass = 3.1 kg'],
  ['what a condition reads that is false before and after', 't = 2.2 mm', 't = 2.1 mm'],
  ['what a condition reads that comes to hold', 't = 2.2 mm', 't = 5 mm'],
  ['what a condition reads that is to be determined', 't = 2.2 mm', 't = TBD mm owner "me"'],
  ['a limit', 'let limit = 3 kg', 'let limit = 2 kg'],
  ['a disposition', 'disposition = scrap   ', ''],
  ['an approval', 'approved = "Board"   ', ''],
  [
    'several configurations',
    'waiver W-1',
    'configuration X { Lug.mass = 1 kg }\nconfiguration Y { Lug.mass = 2 kg }\nwaiver W-1',
  ],
];

function shown(project: Project): unknown {
  return {
    statuses: project.configurations.map(({ name, verification }) => [
      name,
      verification.index.requirements
        .map(entity => verification.result(entity))
        .map(({ entity, status, reasons }) => `${entity.label} ${status} ${reasons.join('; ')}`)
        .sort(),
    ]),
    findings: project.files.flatMap(file => project.findings(file).map(({ code, message }) => `${code} ${message}`)),
  };
}

describe('edited is fresh', () => {
  test.each(EDITS)('%s', (_, before, after) => {
    expect(MODEL).toContain(before);
    const edited = MODEL.replace(before, after);
    const project = openTexts({ 'a.gus': MODEL, ...FILES });
    const opened = shown(project);
    const files = new Map(Object.entries(FILES).map(([path, text]) => [path, new TextEncoder().encode(text)]));
    project.setText('a.gus', edited);
    settle(project, files);
    expect(shown(project)).toEqual(shown(openTexts({ 'a.gus': edited, ...FILES })));
    expect(shown(project)).not.toEqual(opened);
    project.setText('a.gus', MODEL);
    settle(project, files);
    expect(shown(project)).toEqual(opened);
  });

  test('a report that goes and comes back', () => {
    const project = openTexts({ 'a.gus': MODEL, ...FILES });
    const opened = shown(project);
    project.setFileExists('TR-1.txt', false);
    project.update();
    project.updateProjectFindings();
    expect(shown(project)).toEqual(shown(openTexts({ 'a.gus': MODEL, 'cert.txt': '' })));
    project.setFileExists('TR-1.txt', true);
    project.update();
    project.updateProjectFindings();
    expect(shown(project)).toEqual(opened);
  });
});
