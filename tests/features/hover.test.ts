/** A check in a hover is calculated where it is told to be worst. */
import { expect, test } from 'vitest';
import { hoverText } from '../../server/features/hover-text.js';
import { contextOf } from '../support/features.js';
import { openTexts } from '../support/fixture.js';

const TEXT = `project Demo "Demo" { date = 2027-01-01 }
load Liftoff "Lift-off" {
  axial = -2.0 g0 .. 8.0 g0
  lateral = 3.0 g0 any
  temperature = 10 degC .. 40 degC
}
part Arm "Arm" {
  mass = 2 kg
  a = 2 mm ± 0.1 mm
  b = 3 mm ± 0.2 mm
  let pull(L) = mass * (8 * L.axial - L.axial * L.axial / (1 g0))
  requirement A-1 "The arm shall hold." {
    check size: a + b <= 5.2 mm
    check bow for L in corners(Liftoff): pull(L) <= 300 N
    check written: a + (3 mm ± 0.2 mm) <= 5.2 mm
    check fixed: mass <= 3 kg
    verify by analysis
  }
}
`;
const context = contextOf(openTexts({ 'a.gus': TEXT }), 'a.gus');
const hover = (check: string): string => hoverText(context, TEXT.indexOf(`check ${check}`) + 1, null)!.markdown;

test.each([
  // 2.1 mm + 3.2 mm.
  ['size', '`5.3 mm` against `5.2 mm`, calculated there:', 'a + b\n= 2.1 mm + 3.2 mm\n= 5.3 mm\n'],
  // 2 kg · (8 · 4 − 4²) · 9.80665 m/s², between the ends of the range.
  ['bow', '`313.8 N` against `300 N`, calculated there:', 'pull(L)\n= 313.8 N\n= 313.8 N\n'],
  // A tolerance that is written in the check itself stays at its nominal value.
  ['written', '`5.3 mm` against `5.2 mm`. With nominal values:', '= 2 mm + (3 mm ± 0.2 mm)\n= 5 mm\n'],
])('%s', (check, sides, calculation) => {
  expect(hover(check)).toContain(`At worst ${sides}\n\n\`\`\`gusset\n`);
  expect(hover(check)).toContain(calculation);
});

test('where nothing varies, nothing is worst', () => {
  expect(hover('fixed')).toMatch(/^\*\*\+0\.50?\*\*\n\n```gusset\nmass\n= 2 kg\n= 2 kg\n/);
});

test('a requirement names what leaves it without a result, fails or has lapsed', () => {
  const text = `project Demo "Demo" { date = 2027-06-01 }
let late = TBD mm owner "mass lead"
let t = 2.2 mm
requirement R-1 "It shall fit." { check late >= 2 mm   verify by analysis }
requirement R-2 "It shall fit." { check t >= 2.4 mm   verify by analysis }
requirement R-3 "It shall fit." { verify by review }
evidence TR-3 for R-3 { method = review   report = file("TR-3.txt")   date = 2027-03-02   result = pass   holds while t >= 2.4 mm }
`;
  const reviewed = contextOf(openTexts({ 'a.gus': text, 'TR-3.txt': '' }), 'a.gus');
  const told = (label: string): string =>
    hoverText(reviewed, text.indexOf(label) + 1, null)!.markdown.replaceAll('&#62;', '>');
  expect(told('R-1')).toContain('- the check is undetermined: late is to be determined by mass lead');
  expect(told('R-2')).toContain('- the check fails: 2.2 mm against 2.4 mm, margin -0.09');
  expect(told('R-3')).toContain(
    '- the evidence of review has lapsed: TR-3 holds only while t >= 2.4 mm, and t is 2.2 mm',
  );
});
