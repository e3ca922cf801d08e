/** A check in a hover is calculated where it is told to be worst. */
import { expect, test } from 'vitest';
import { requirementsInOrder } from '../../server/engine/verification-index.js';
import { hoverText } from '../../server/features/hover-text.js';
import { codeSpan } from '../../server/features/markdown.js';
import { spanOf } from '../../server/model/declaration.js';
import { buildReport } from '../../server/reports/build-report.js';
import type { CheckEntry } from '../../server/reports/check-report.js';
import { formatMargin } from '../../server/units/index.js';
import { contextOf } from '../support/features.js';
import { openScenario, openTexts, scenariosBelow } from '../support/fixture.js';

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
  ['bow', '`313.8 N` against `300 N`, calculated there:', 'pull(L)\n= 313.8 N\n```'],
  // A tolerance that is written in the check itself.
  ['written', '`5.3 mm` against `5.2 mm`, calculated there:', '= 2.1 mm + 3.2 mm\n= 5.3 mm\n'],
])('%s', (check, sides, calculation) => {
  expect(hover(check)).toContain(`At worst ${sides}\n\n`);
  expect(hover(check)).toContain(calculation);
});

test('where nothing varies, nothing is worst', () => {
  expect(hover('fixed')).toMatch(
    /^\*\*\+0\.50?\*\*\n\n`2 kg` against `3 kg`, calculated:\n\n```gusset\nmass\n= 2 kg\n```/,
  );
});

test('what varies is told with the value that it takes where the check governs', () => {
  expect(hover('size')).toContain('\n\n`a` at 2.1 mm of `2 mm ± 0.1 mm` · `b` at 3.2 mm of `3 mm ± 0.2 mm`\n\n');
  expect(hover('size')).toContain('| `a` | 2.1 mm | `2 mm ± 0.1 mm` | [a.gus:9](a.gus#L9) |');
  expect(hover('size')).toContain('| `b` | 3.2 mm | `3 mm ± 0.2 mm` | [a.gus:10](a.gus#L10) |');
  expect(hover('written')).toContain('| `in the check` | 3.2 mm | `(3 mm ± 0.2 mm)` |');
  expect(hover('fixed')).not.toContain('| stated |');
});

test('every token of a check has its calculation, and what the token is below it', () => {
  const start = TEXT.indexOf('check size');
  for (let offset = start; offset <= TEXT.indexOf('\n', start); offset++)
    expect(hoverText(context, offset, null)!.markdown).toMatch(/^\*\*-0\.02\*\* · worst case\n\nAt worst `5\.3 mm`/);
  expect(hoverText(context, TEXT.indexOf('a + b'), null)!.markdown).toContain('\n\n---\n\n**Arm.a** = `2 mm`');
});

test('configurations that are alike share one table, and one that differs is named', () => {
  const text = `project Demo "Demo" { date = 2027-01-01 }
part Arm "Arm" {
  mass = 2 kg
  requirement A-1 "It shall be light." { check light: mass <= 3 kg  verify by analysis }
}
configuration One "One" { Arm.mass = 1 kg }
configuration Two "Two" { Arm.mass = 1 kg }
configuration Six "Six" { Arm.mass = 6 kg }
`;
  const at = contextOf(openTexts({ 'a.gus': text }), 'a.gus');
  const said = hoverText(at, text.indexOf('A-1'), null)!.markdown;
  expect(said.match(/\| check \|/g)).toHaveLength(2);
  expect(said).toContain('One, Two: ');
  expect(hoverText(at, text.indexOf('check light'), null)!.markdown).toMatch(
    /^\*\*-0\.50\*\* · Six\n\n`6 kg` against `3 kg`/,
  );
});

test('a check of a kind is told where it is worst, and brackets belong to what they enclose', () => {
  const text = `project Demo "Demo" { date = 2027-01-01 }
kind Rod {
  length: length
  requirement R-1 "It shall fit." { check fit: 2 * (length + 1 mm) <= (20 mm)  verify by analysis }
}
part Short "Short" is Rod { length = 4 mm }
part Long "Long" is Rod { length = 12 mm }
`;
  const at = contextOf(openTexts({ 'a.gus': text }), 'a.gus');
  const said = hoverText(at, text.indexOf('check fit'), null)!.markdown;
  expect(said).toMatch(/^\*\*-0\.24\*\* · Long\n\n`26 mm` against `20 mm`/);
  expect(said).toContain('2 * (length + 1 mm)\n= 2 * (12 mm + 1 mm)\n= 26 mm');
});

/** The lowest of a check's entries in the report, which has one a configuration. */
function worstEntry(entries: readonly CheckEntry[]): CheckEntry {
  const rank = ({ passes }: CheckEntry): number => (passes === false ? 0 : passes === null ? 1 : 2);
  const margin = (entry: CheckEntry): number => entry.margin ?? Infinity;
  return entries.reduce((worst, next) =>
    rank(next) < rank(worst) || (rank(next) === rank(worst) && margin(next) < margin(worst)) ? next : worst,
  );
}

const scenarios = ['examples', 'tests/fixtures'].flatMap(folder => scenariosBelow(folder));
test.each(scenarios)('the numbers in the hovers of $name are those of the report', scenario => {
  const project = openScenario(scenario);
  const report = buildReport(project, { version: '', values: [], rows: false });
  requirementsInOrder(project.view.verification.index).forEach((entity, n) => {
    const { checks } = report.requirements[n]!;
    entity.checks.forEach((item, i) => {
      const entry = worstEntry(checks.filter((_, k) => k % entity.checks.length === i));
      if (entity.template) return;
      const at = contextOf(project, item.placement.file);
      const { markdown } = hoverText(at, spanOf(item, item.id).start + 1, null)!;
      if (!entry.applied || !entry.allowable) return;
      expect(markdown).toContain(`${codeSpan(entry.applied.text)} against ${codeSpan(entry.allowable.text)}`);
      const told = /^\*\*(.*?)\*\*/.exec(markdown)![1]!;
      if (entry.margin === null) expect(told).toBe(entry.marginKind === 'unbounded' ? 'unbounded' : 'undetermined');
      else if (entry.marginKind !== 'distance') expect(told).toBe(formatMargin(entry.margin));
      else expect(Math.abs(parseFloat(told) - entry.margin)).toBeLessThanOrEqual(0.01 * Math.abs(entry.margin) + 1e-9);
      expect(markdown).not.toContain('ominal values');
    });
  });
});

test('a second block of one label is never told to be verified', () => {
  const requirement = (mass: string): string =>
    `requirement R-1 "It shall be light." { check light: ${mass} <= 3 kg  verify by analysis }\n`;
  const twice = `project Demo "Demo" { date = 2027-01-01 }\n${requirement('2 kg')}${requirement('1 kg')}`;
  const at = contextOf(openTexts({ 'a.gus': twice }), 'a.gus');
  expect(hoverText(at, twice.indexOf('R-1'), null)!.markdown).toContain('verified');
  for (const words of ['R-1', 'check light', '1 kg'])
    expect(hoverText(at, twice.lastIndexOf(words), null)!.markdown).toBe(
      '**R-1** stands twice: this block is not evaluated. Rename one of them.',
    );

  const parts = `part A "A" {\n${requirement('2 kg')}}\npart B "B" {\n${requirement('1 kg')}}\n`;
  const project = openTexts({ 'a.gus': parts });
  const statuses = (): string[] =>
    requirementsInOrder(project.view.verification.index).map(entity => project.view.verification.result(entity).status);
  expect(statuses()).toEqual(['verified', 'undetermined']);
  project.setText('a.gus', parts.replace('R-1', 'R-2'));
  project.update();
  expect(statuses()).toEqual(['verified', 'verified']);
  project.setText('a.gus', parts);
  project.update();
  expect(statuses()).toEqual(['verified', 'undetermined']);
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
