/** What an edit makes the evaluation do: nothing that it need not. */
import { beforeEach, describe, expect, test } from 'vitest';
import { factsOf } from '../../server/engine/facts.js';
import type { Project } from '../../server/project/project.js';
import { openTexts } from '../support/fixture.js';
import { checkKey } from '../../server/engine/evaluation/cell-key.js';

const SHARED = `project Small "Small" { date = 2027-01-01 }
let load = 100 N
let factor = 1.4
let unrelated = 3 kg
`;
const PART = `part Bracket "Bracket" {
  width = 20 mm
  t = 2 mm
  let area = width * t
  let stress = load / area
  requirement STR-1 "It shall hold." {
    check ultimate: factor * stress <= 10 MPa
    verify by analysis
  }
}
part Other "Other" {
  d = 4 mm
  let size = d * 2
}
`;

let project: Project;
const texts = new Map<string, string>();

beforeEach(() => {
  texts.clear();
  for (const [path, text] of [
    ['shared.gus', SHARED],
    ['part.gus', PART],
  ] as const)
    texts.set(path, text);
  project = openTexts(Object.fromEntries(texts));
});

/**
 * Replaces text in a file and brings the project up to date. What was elaborated anew, and whose code ran again, by
 * name.
 */
function edit(path: string, from: string, to: string): { elaborated: string[]; ran: string[] } {
  const text = texts.get(path)!;
  if (!text.includes(from)) throw new Error(`${path} does not hold ${from}`);
  texts.set(path, text.replace(from, to));
  project.setText(path, texts.get(path)!);
  project.view.evaluation.startLog();
  project.update();
  const { elaborated, ran } = project.view.evaluation.log!;
  return { elaborated: [...elaborated].sort(), ran: [...ran].sort() };
}

function outcome(): { status: string; margin: number } {
  const { result } = project.results(project.namespace.labelled('STR-1')[0]!)[0]!;
  return { status: result.status, margin: result.governing!.margin };
}

const NOTHING = { elaborated: [], ran: [] };

describe('layout', () => {
  test.each([
    ['a comment', 'part.gus', '  t = 2 mm\n', '  t = 2 mm  // thickness\n'],
    ['an empty line', 'part.gus', '  t = 2 mm\n', '\n\n  t = 2 mm\n'],
    ['spaces', 'part.gus', 'width * t', 'width   *   t'],
    ['a comment at the top', 'shared.gus', 'let load', '// the load\nlet load'],
    ['a line before everything', 'part.gus', 'part Bracket', '\n\npart Bracket'],
  ])('%s runs nothing', (_, path, from, to) => {
    expect(edit(path, from, to)).toEqual(NOTHING);
  });

  test('places of findings follow', () => {
    edit('part.gus', 'width = 20 mm', 'width = 0.2 mm');
    const before = project.findings('part.gus').find(finding => finding.code === 'failing-margin')!;
    expect(edit('part.gus', 'part Bracket', '// A line more.\npart Bracket')).toEqual(NOTHING);
    const after = project.findings('part.gus').find(finding => finding.code === 'failing-margin')!;
    expect(after.start - before.start).toBe('// A line more.\n'.length);
  });
});

describe('values', () => {
  test('elaborate their own item and run what depends on them', () => {
    const before = outcome();
    expect(edit('part.gus', 't = 2 mm', 't = 4 mm')).toEqual({
      elaborated: ['Bracket.t'],
      ran: ['Bracket.STR-1.check 1', 'Bracket.area', 'Bracket.stress'],
    });
    expect(outcome().margin).toBeCloseTo((before.margin + 1) * 2 - 1, 12);
  });

  test('run dependants in other files', () => {
    expect(edit('shared.gus', 'load = 100 N', 'load = 200 N')).toEqual({
      elaborated: ['load'],
      ran: ['Bracket.STR-1.check 1', 'Bracket.stress'],
    });
  });

  test('that nothing reads run nothing else', () => {
    expect(edit('shared.gus', 'unrelated = 3 kg', 'unrelated = 4 kg')).toEqual({ elaborated: ['unrelated'], ran: [] });
  });

  test('with the same bits cut off', () => {
    expect(edit('shared.gus', 'load = 100 N', 'load = 50 N * 2').ran).toEqual([]);
    expect(edit('part.gus', 'width * t', 't * width').ran).toEqual([]);
  });

  test('in another unit keep the margin to the bit', () => {
    const before = outcome();
    edit('shared.gus', 'load = 100 N', 'load = 0.1 kN');
    expect(outcome()).toEqual(before);
  });
});

describe('tolerances', () => {
  test('the ends move the margin though the middle stays', () => {
    edit('part.gus', 't = 2 mm', 't = 2 mm ± 0.1 mm');
    expect(outcome().margin).toBeCloseTo(10 / ((1.4 * 100) / (20 * 1.9)) - 1, 12);
    edit('part.gus', '± 0.1 mm', '± 0.2 mm');
    expect(outcome().margin).toBeCloseTo(10 / ((1.4 * 100) / (20 * 1.8)) - 1, 12);
    edit('part.gus', '± 0.2 mm', '± 0 mm');
    expect(outcome().margin).toBeCloseTo(10 / ((1.4 * 100) / (20 * 2)) - 1, 12);
  });
});

describe('structure', () => {
  test('another dimension elaborates what depends on it, and mending it does so again', () => {
    const before = outcome();
    expect(edit('part.gus', 't = 2 mm', 't = 2 kg').elaborated).toEqual([
      'Bracket.STR-1.check 1',
      'Bracket.area',
      'Bracket.stress',
      'Bracket.t',
    ]);
    expect(outcome().status).toBe('undetermined');
    edit('part.gus', 't = 2 kg', 't = 2 mm');
    expect(outcome()).toEqual(before);
  });

  test('a name that goes and comes back', () => {
    const before = outcome();
    edit('shared.gus', 'let load = 100 N\n', '');
    expect(outcome().status).toBe('undetermined');
    expect(edit('shared.gus', 'let factor', 'let load = 100 N\nlet factor').elaborated).toEqual([
      'Bracket.STR-1.check 1',
      'Bracket.stress',
      'load',
    ]);
    expect(outcome()).toEqual(before);
  });

  test('a file that goes and comes back', () => {
    const before = outcome();
    project.setText('shared.gus', null);
    project.update();
    expect(outcome().status).toBe('undetermined');
    project.setText('shared.gus', SHARED);
    project.update();
    expect(outcome()).toEqual(before);
  });

  test('a nearer name hides the farther one', () => {
    expect(edit('part.gus', '  t = 2 mm', '  load = 300 N\n  t = 2 mm').elaborated).toContain('Bracket.stress');
    expect(outcome().status).toBe('failing');
  });

  test('a part that becomes one of a kind, and by itself again', () => {
    const before = outcome();
    const [head, body] = [
      PART.slice(0, PART.indexOf('  let area')),
      PART.slice(PART.indexOf('  let area'), PART.indexOf('}\npart Other')),
    ];
    const made = `kind Flat "Flat" {\n  given width: length, t: length\n${body}}\n${head.replace(' {', ' is Flat {')}}\n${PART.slice(PART.indexOf('part Other'))}`;
    edit('part.gus', PART, made);
    expect(
      project.namespace.labelled('STR-1/Bracket').map(entity => project.view.verification.result(entity).status),
    ).toEqual(['verified']);
    edit('part.gus', made, PART);
    expect(outcome()).toEqual(before);
    expect([...project.namespace.named('STR-1')].map(entity => entity.label)).toEqual(['STR-1']);
    // One of its own beside the one that the kind repeats stands for it, and leaves it when it goes.
    edit('part.gus', PART, made);
    edit(
      'part.gus',
      't = 2 mm\n}',
      't = 2 mm\n  requirement STR-1 "It shall be wide." { check width >= 30 mm   verify by analysis }\n}',
    );
    expect(
      project.view.verification.index.requirements.map(entity => [
        entity.label,
        project.view.verification.result(entity).status,
      ]),
    ).toEqual([['STR-1', 'failing']]);
    edit('part.gus', '  requirement STR-1 "It shall be wide." { check width >= 30 mm   verify by analysis }\n', '');
    expect(
      project.view.verification.index.requirements.map(entity => [
        entity.label,
        project.view.verification.result(entity).status,
      ]),
    ).toEqual([['STR-1/Bracket', 'verified']]);
  });

  test('a value that another part gains, loses or renames leaves this one alone', () => {
    expect(edit('part.gus', 'let size = d * 2', 'let size = d * 2\n  t = 5 mm').elaborated).toEqual(['Other.t']);
    expect(edit('part.gus', 't = 5 mm', 'width = 5 mm').elaborated).toEqual(['Other.width']);
    expect(edit('part.gus', '\n  width = 5 mm', '').elaborated).toEqual([]);
  });

  test('a declaration elsewhere leaves all others alone', () => {
    expect(edit('part.gus', 'part Other', 'part Third "Third" { x = 1 mm }\npart Other')).toEqual({
      elaborated: ['Third.x'],
      ran: [],
    });
  });
});

describe('what is said about a value', () => {
  test.each([
    ['tbc', 'load = 100 N tbc'],
    ['a typical basis', 'load = 100 N basis typical source "brochure"'],
  ])('%s moves the status though no number moved', (_, text) => {
    const before = outcome();
    expect(before.status).toBe('verified');
    const { ran } = edit('shared.gus', 'load = 100 N', text);
    expect(ran).toEqual([]);
    expect(outcome()).toEqual({ status: 'unverified', margin: before.margin });
    edit('shared.gus', text, 'load = 100 N');
    expect(outcome()).toEqual(before);
  });
});

describe('who looks for a value where a part gains or loses it', () => {
  const number = (path: string): number => {
    const entity = project.namespace.resolvePath(path.split('.').slice(0, -1), project.namespace.root)!;
    const value = project.view.evaluation.valueOf(entity, path.split('.').at(-1)!);
    return value?.kind === 'quantity' ? project.view.evaluation.number(value.node) : NaN;
  };
  const open = (text: string): void => {
    texts.clear();
    texts.set('a.gus', text);
    project = openTexts({ 'a.gus': text });
  };

  test.each([
    [
      'from inside',
      'let k = 1\npart P "" { part Q "" { let a = k } }',
      'part P "" {',
      'part P "" {\n let k = 2\n',
      'P.Q.a',
    ],
    ['by its path', 'part P "" { }\npart Q "" { let a = P.k }', 'part P "" {', 'part P "" {\n let k = 2\n', 'Q.a'],
    [
      'in place of what the language knows',
      'part P "" { }\npart Q "" { let a = P.mass / 1 kg }',
      'part P "" {',
      'part P "" {\n mass = 2 kg\n',
      'Q.a',
    ],
    [
      'through a formula that stands in it',
      'let k = 1\npart P "" { let f(x) = k * x }\npart Q "" { let a = P.f(1) }',
      'part P "" {',
      'part P "" {\n let k = 2\n',
      'Q.a',
    ],
    [
      'as a formula',
      'part P "" { }\npart Q "" { let a = P.k(1) }',
      'part P "" {',
      'part P "" {\n let k(x) = 2 * x\n',
      'Q.a',
    ],
    [
      'where a kind stands',
      'let k = 1\npart P "" {\n kind K "" {\n part S "" { let a = k }\n }\n}\npart R "" is K { let b = S.a }',
      'part P "" {',
      'part P "" {\n let k = 2\n',
      'R.b',
    ],
    [
      'over all parts',
      'part P "" {\n part Q "" { }\n let a = sum(for p in children(P): p.k)\n}',
      'part Q "" {',
      'part Q "" {\n let k = 2\n',
      'P.a',
    ],
  ])('%s', (_, text, before, after, path) => {
    open(text);
    const bare = number(path);
    edit('a.gus', before, after);
    expect(number(path)).toBe(2);
    edit('a.gus', after, before);
    expect(number(path)).toBe(bare);
  });

  test('a formula that nobody calls', () => {
    const text = 'part P "" {\n  k = 2\n  let f(x) = k * x\n}\n';
    open(text);
    const codes = (): string[] => project.findings('a.gus').map(finding => finding.code);
    expect(codes()).not.toContain('unknown-name');
    edit('a.gus', '  k = 2\n', '');
    expect(codes()).toContain('unknown-name');
    edit('a.gus', 'part P "" {\n', 'part P "" {\n  k = 2\n');
    expect(codes()).not.toContain('unknown-name');
  });

  test('where a part moves to another', () => {
    open('part A "" { let k = 1 }\npart B "" { let k = 2 }\npart P "" in A { let a = k }');
    expect(number('P.a')).toBe(1);
    edit('a.gus', 'in A', 'in B');
    expect(number('P.a')).toBe(2);
  });
});

test('what a check rests on follows when it comes to nothing', () => {
  const swept = (): string[] => {
    const { evaluation } = project.view;
    const check = [...evaluation.allCells()].find(cell => cell.entity.name === 'STR-1' && cell.key === checkKey(0))!;
    return factsOf(evaluation, check).loads.map(load => load.name);
  };
  texts.set(
    'a.gus',
    'load Pull "" { axial = 1 g0 }\npart P "" {\n  m = 2 kg\n  requirement STR-1 "" { check yield for L in [Pull]: m * L.axial <= 30 N }\n}\n',
  );
  project = openTexts({ 'a.gus': texts.get('a.gus')! });
  expect(swept()).toEqual(['Pull']);
  edit('a.gus', '2 kg', '2 mm');
  expect(swept()).toEqual([]);
  edit('a.gus', '2 mm', '2 kg');
  expect(swept()).toEqual(['Pull']);
});

test('a test that is asked for above, or no longer, is told below', () => {
  texts.set(
    'a.gus',
    'project R "R" { date = 2027-01-01 }\nfactors F "" { class = metal   tested = yes   ultimate = 1.4 }\nload Pull "" { axial = 1 g0 }\nrequirement SYS-1 "It shall hold." { verify by test }\nrequirement SUB-1 "It shall hold." { parent SYS-1   verify by analysis }\nrequirement STR-1 "It shall hold." { parent SUB-1   check ultimate for L in [Pull]: F.ultimate * 1 kg * L.axial <= 30 N   verify by analysis }\n',
  );
  project = openTexts({ 'a.gus': texts.get('a.gus')! });
  const codes = (): string[] => project.findings('a.gus').map(finding => finding.code);
  expect(codes()).not.toContain('factor-untested');
  edit('a.gus', 'verify by test', 'verify by inspection');
  expect(codes()).toContain('factor-untested');
  edit('a.gus', 'verify by inspection', 'verify by test');
  expect(codes()).not.toContain('factor-untested');
  edit('a.gus', 'requirement SYS-1', 'requirement SYS-2');
  expect(codes()).toContain('factor-untested');
  edit('a.gus', 'requirement SYS-2', 'requirement SYS-1');
  expect(codes()).not.toContain('factor-untested');
});
