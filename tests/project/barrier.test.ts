/** A defect of ours in one item is a finding there and a line in the log, and leaves all other items alone. */
import type * as Lower from '../../server/model/lower.js';
import { afterEach, expect, test, vi } from 'vitest';
import { Elaborator } from '../../server/engine/elaboration/elaborate.js';
import { Evaluation } from '../../server/engine/evaluation/evaluation.js';
import { WorstCases } from '../../server/engine/proof/worst-case.js';
import { RULES } from '../../server/findings/index.js';
import type { Project } from '../../server/project/project.js';
import { openTexts, settle } from '../support/fixture.js';

const lowering = vi.hoisted(() => ({ failsAt: '(never)' }));
vi.mock('../../server/model/lower.js', async importOriginal => {
  const { lowerPiece } = await importOriginal<typeof Lower>();
  const failing: typeof lowerPiece = (parsed, text, placement) =>
    text.includes(lowering.failsAt) && parsed.document.statements.length > 0
      ? failure()
      : lowerPiece(parsed, text, placement);
  return { lowerPiece: failing };
});

const TEXTS = {
  'a.gus': 'project Tray "Tray" { date = 2027-01-01 }\nlet a = 2 mm\n',
  'b.gus': 'requirement R-1 "It shall hold." { check c: a <= 1 mm   verify by analysis }\n',
  'c.gus': 'requirement R-2 "It shall hold." { check c: a <= 1 mm   verify by analysis }\nlet lost = nowhere\n',
};
const told: string[] = [];
const open = (texts: Readonly<Record<string, string>> = TEXTS): Project =>
  openTexts(texts, { onDefect: what => told.push(what) });
const codes = (project: Project): string[][] =>
  Object.keys(TEXTS).map(file => project.findings(file).map(finding => finding.code));
const failure = (): never => {
  throw new TypeError('nothing of nothing');
};

afterEach(() => {
  vi.restoreAllMocks();
  told.length = 0;
  lowering.failsAt = '(never)';
});

const WHOLE = [[], ['failing-margin'], ['failing-margin', 'unused-name', 'unknown-name']];

test('without one', () => {
  expect(codes(open())).toEqual(WHOLE);
  expect(told).toEqual([]);
});

test('in a rule over a requirement', () => {
  const rule = RULES.get('failing-margin')!;
  const own = rule.onRequirement!.bind(rule);
  vi.spyOn(rule, 'onRequirement').mockImplementation((report, result, ...rest) =>
    result.entity.label === 'R-1' ? failure() : own(report, result, ...rest),
  );
  expect(codes(open())).toEqual([WHOLE[0], ['defect'], WHOLE[2]]);
  expect(told).toContain('R-1');
});

test('in a rule over the project', () => {
  vi.spyOn(RULES.get('unused-name')!, 'onProject').mockImplementation(failure);
  expect(codes(open())).toEqual([['defect'], WHOLE[1], ['failing-margin', 'unknown-name']]);
  expect(told).toContain('the rule unused-name');
});

test('in reading a statement', () => {
  lowering.failsAt = 'R-1';
  expect(codes(open())).toEqual([WHOLE[0], ['defect'], WHOLE[2]]);
  expect(told).toEqual(['a statement of b.gus']);
});

test('in calculating a value', () => {
  const own = Elaborator.prototype.expression;
  vi.spyOn(Elaborator.prototype, 'expression').mockImplementation(function (this: Elaborator, e, env) {
    return e.kind === 'name' && e.name === 'nowhere' ? failure() : own.call(this, e, env);
  });
  expect(codes(open())).toEqual([WHOLE[0], WHOLE[1], ['failing-margin', 'defect', 'unused-name']]);
  expect(told).toEqual(['lost']);
});

test('in the proof of a check', () => {
  vi.spyOn(WorstCases.prototype, 'worst').mockImplementation(failure);
  const project = open({ ...TEXTS, 'b.gus': TEXTS['b.gus'].replace('a <= 1 mm', 'a ± 1 mm <= 1 mm') });
  expect(codes(project)).toEqual([WHOLE[0], ['undetermined'], WHOLE[2]]);
  expect(project.findings('b.gus')[0]!.message).toContain('a defect in Gusset');
  expect(new Set(told)).toEqual(new Set(['R-1.check 1']));
});

test('in the evaluation once: all is evaluated anew', () => {
  vi.spyOn(Evaluation.prototype, 'updateSteps').mockImplementationOnce(failure);
  expect(codes(open())).toEqual(WHOLE);
  expect(told).toEqual(['the evaluation']);
});

test('in the evaluation for good: nothing is judged, and the next text is', () => {
  vi.spyOn(Evaluation.prototype, 'updateSteps').mockImplementation(failure);
  const project = open();
  expect(codes(project)[0]).toContain('defect');
  expect(codes(project).flat()).not.toContain('failing-margin');
  vi.restoreAllMocks();
  project.setText('a.gus', `${TEXTS['a.gus']}\n`);
  settle(project, new Map());
  expect(codes(project)).toEqual(WHOLE);
});
