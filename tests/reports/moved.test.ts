/** What moved from one check to the next. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { buildReport } from '../../server/reports/build-report.js';
import type { CheckReport } from '../../server/reports/check-report.js';
import { movesBetween } from '../../server/reports/moved.js';
import { renderText } from '../../server/reports/text.js';
import { open } from '../findings/project.js';

const reportOf = (text: string): CheckReport =>
  buildReport(open({ 'a.gus': text }), { version: '0', values: [], rows: false });

const model = (t: number, mass: string, more = ''): string => `part Lug "Lug" { t = ${t} mm   mass = ${mass} }
requirement R-1 "It shall be thick." { check thick: Lug.t >= 2 mm   check warm: 10 degC <= 20 degC   verify by analysis }
${more}`;

test('statuses, margins and masses are told before and after, and nothing that stayed', () => {
  const moves = movesBetween(reportOf(model(3, '2 kg')), reportOf(model(1, '2.5 kg ± 0.5 kg')));
  expect(moves).toEqual([
    { what: 'R-1', where: '', before: 'verified', after: 'failing' },
    { what: 'R-1 thick', where: '', before: '+0.50', after: '-0.50' },
    { what: 'predicted mass', where: '', before: '2 kg', after: '2.5 kg' },
    { what: 'predicted mass at worst', where: '', before: '2 kg', after: '3 kg' },
  ]);
});

test('a requirement that is new, or gone, is told once', () => {
  const more = 'requirement R-2 "It shall be." { check 1 N <= 2 N   verify by analysis }';
  const [without, with2] = [reportOf(model(3, '2 kg')), reportOf(model(3, '2 kg', more))];
  expect(movesBetween(without, with2)).toEqual([{ what: 'R-2', where: '', before: 'none', after: 'verified' }]);
  expect(movesBetween(with2, without)).toEqual([{ what: 'R-2', where: '', before: 'verified', after: 'none' }]);
});

test('what moves there moves back, and what is the same does not move', () => {
  const thickness = fc.constantFrom(0.5, 1, 1.999, 2, 2.5, 3);
  fc.assert(
    fc.property(thickness, thickness, (x, y) => {
      const [before, after] = [reportOf(model(x, '2 kg')), reportOf(model(y, '2 kg'))];
      const there = movesBetween(before, after);
      expect(there.length === 0).toBe(x === y);
      expect(movesBetween(after, before)).toEqual(
        there.map(move => ({ ...move, before: move.after, after: move.before })),
      );
    }),
    { numRuns: 20 },
  );
});

test('a brief text after a check before has what moved and the counts alone', () => {
  const [before, after] = [reportOf(model(3, '2 kg')), reportOf(model(1, '2 kg'))];
  expect(renderText(after, { brief: true, before })).toMatch(
    /^MOVED SINCE THE CHECK BEFORE\n.*\n.*\nR-1 +verified {2}-> {2}failing\nR-1 thick +\+0\.50 {2}-> {2}-0\.50\n\n1 requirement/,
  );
  expect(renderText(after, { brief: true, before: after })).toMatch(/^Nothing moved\.\n\n1 requirement/);
  expect(renderText(after, { before })).toMatch(/^CHECK REPORT[\s\S]*MOVED SINCE[\s\S]*1 requirement/);
});
