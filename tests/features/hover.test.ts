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
