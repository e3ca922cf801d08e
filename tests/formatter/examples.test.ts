import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { formatEdits, formatText } from '../../server/syntax/formatter.js';

const fixture = (name: string): string => readFileSync(new URL(`fixtures/${name}`, import.meta.url), 'utf8');

/** `text` becomes `expected`, and stays so. */
function expectFormat(text: string, expected: string): void {
  expect(formatText(text)).toBe(expected);
  expect(formatText(expected)).toBe(expected);
}

describe('whole files', () => {
  it.each(['vehicle', 'joint'])('%s', async name => {
    const formatted = formatText(fixture(`${name}.gus`));
    await expect(formatted).toMatchFileSnapshot(`fixtures/${name}.formatted.gus`);
    expect(formatText(formatted)).toBe(formatted);
  });
});

describe('spelling', () => {
  it.each([
    ['let a=b+c*d/e-f', 'let a = b + c * d / e - f\n'],
    ['let a=-b^-2+(- c)', 'let a = -b^-2 + (-c)\n'],
    ['let a = b−c·d×e', 'let a = b - c * d * e\n'],
    ['let a = b² + c¹²', 'let a = b^2 + c^12\n'],
    ['let a = b≤c and d ≥e or f≠g', 'let a = b <= c and d >= e or f != g\n'],
    ['let a = 5 m/s²', 'let a = 5 m/s^2\n'],
    ['let a = 5   N·m', 'let a = 5 N*m\n'],
    ['let a = 10%', 'let a = 10 %\n'],
    ['let a = 5 um', 'let a = 5 µm\n'],
    ['let a = 24e-6 1/K', 'let a = 24e-6 1/K\n'],
    ['let a = 4 mm+/-0.1 mm', 'let a = 4 mm ± 0.1 mm\n'],
    ['let a = 4 mm ( +0.2 ,-0.0 )um', 'let a = 4 mm (+0.2, -0.0) µm\n'],
    ['let a = 4 mm (−0.1um,+0.2um)', 'let a = 4 mm (-0.1 µm, +0.2 µm)\n'],
    ['let a = [1→2,3→4]', 'let a = [1 -> 2, 3 -> 4]\n'],
    ['let a = ( 1 ,2 , 3 )mm', 'let a = (1, 2, 3) mm\n'],
    ['let a(T , L)=f (T) [2] . x', 'let a(T, L) = f(T)[2].x\n'],
    ['let a:length=b', 'let a: length = b\n'],
    ['let a = # TR-114 . x', 'let a = #TR-114.x\n'],
    ['let a = sum( for p in xs where p.m>0 kg :p.m )', 'let a = sum(for p in xs where p.m > 0 kg: p.m)\n'],
    ['let a = not( b )', 'let a = not (b)\n'],
    ['let a = 1..3', 'let a = 1 .. 3\n'],
    ['let a = "two  spaces   stay"', 'let a = "two  spaces   stay"\n'],
    [
      'formula f( a:length,b ):force/length^2=a*b requires a>0 mm,b>0',
      'formula f(a: length, b): force / length^2 = a * b requires a > 0 mm, b > 0\n',
    ],
  ])('%s', expectFormat);
});

describe('lines', () => {
  it.each([
    ['a block stays on one line', 'part A {a=1 mm b=2 mm}', 'part A { a = 1 mm   b = 2 mm }\n'],
    ['a block stays on several', 'part A {a=1 mm\nb=2 mm}', 'part A {\n  a = 1 mm\n  b = 2 mm\n}\n'],
    [
      'several fields stay on a line of their block',
      'part A {\na=1 mm  b=2 mm\n}',
      'part A {\n  a = 1 mm   b = 2 mm\n}\n',
    ],
    ['a brace does not begin a line', 'part A\n{\na=1\n}', 'part A {\n  a = 1\n}\n'],
    ['an empty block', 'part A {\n\n}', 'part A { }\n'],
    ['blocks in blocks', 'part A {\npart B {\nt=1\n}\n}', 'part A {\n  part B {\n    t = 1\n  }\n}\n'],
    [
      'what follows a block of several lines',
      'part A { part B {\nt=1\n} u=2 }',
      'part A {\n  part B {\n    t = 1\n  }\n  u = 2\n}\n',
    ],
    ['an expression goes on', 'let a = b\n+ c', 'let a = b\n  + c\n'],
    [
      'a check goes on',
      'part A {\ncheck x for L in Ls:\na <= b\nand c <= d\n}',
      'part A {\n  check x for L in Ls:\n    a <= b\n    and c <= d\n}\n',
    ],
    [
      'a suffix on its own line goes on',
      'part A {\nlet a = 1 mm\nsource DOC "2"\n}',
      'part A {\n  let a = 1 mm\n    source DOC "2"\n}\n',
    ],
    [
      'the inputs of results stand by themselves',
      'results R = file("a.csv") {\nmodel = "7"\nfrom A.t, B\n}',
      'results R = file("a.csv") {\n  model = "7"\n  from A.t, B\n}\n',
    ],
    [
      'also at the top',
      'formula f(a) = a\nrequires a > 0\nsource "b"',
      'formula f(a) = a\n  requires a > 0\n  source "b"\n',
    ],
    ['a call over several lines', 'let a = f(\nb,\nc\n+ d\n)', 'let a = f(\n  b,\n  c\n    + d\n)\n'],
    ['a call that begins on the first line', 'let a = f(b,\nc)', 'let a = f(b,\n  c)\n'],
    ['a comma does not begin a line', 'let a = f(b\n, c)', 'let a = f(b, c)\n'],
    ['a short table stays on its line', 'let a = [1 -> 2, 3 -> 4, 5 -> 6]', 'let a = [1 -> 2, 3 -> 4, 5 -> 6]\n'],
    [
      'a long table has one pair a line',
      'let a = [1->2,3->4,5->6,7->8,] loglog',
      'let a = [\n  1 -> 2,\n  3 -> 4,\n  5 -> 6,\n  7 -> 8,\n] loglog\n',
    ],
    [
      'a long table opens its block',
      'load A { a = 1 psd = [1->2,3->4,5->6,7->8] b = 2 }',
      'load A {\n  a = 1\n  psd = [\n    1 -> 2,\n    3 -> 4,\n    5 -> 6,\n    7 -> 8\n  ]\n  b = 2\n}\n',
    ],
    [
      'a table of two inputs',
      'let a = by x { 1->2 3->4 5->6 7->8 }',
      'let a = by x {\n  1 -> 2\n  3 -> 4\n  5 -> 6\n  7 -> 8\n}\n',
    ],
    ['a record', 'let a = {x:1 mm basis A,y:[1,2]}', 'let a = { x: 1 mm basis A, y: [1, 2] }\n'],
    ['a record over lines', 'let a = {x:1 mm\ny: 2 mm}', 'let a = {\n  x: 1 mm\n  y: 2 mm\n}\n'],
    ['blank lines', '\n\nlet a = 1\n\n\n\nlet b = 2\n\n', 'let a = 1\n\nlet b = 2\n'],
    ['blank lines at the ends of a block', 'part A {\n\na = 1\n\n\nb = 2\n\n}', 'part A {\n  a = 1\n\n  b = 2\n}\n'],
    [
      'texts over several lines',
      'requirement R-1 "One\n   two" {verify by test}',
      'requirement R-1 "One\n   two" { verify by test }\n',
    ],
    ['line ends of Windows', 'part A {\r\na = 1\r\n\r\n\r\nb = 2\r\n}', 'part A {\r\n  a = 1\r\n\r\n  b = 2\r\n}\r\n'],
    ['a byte order mark', '\uFEFFlet a = 1', 'let a = 1\n'],
    ['nothing', ' \n\t\n', ''],
  ])('%s', (_, text, expected) => expectFormat(text, expected));

  it('opens a block that reaches beyond 120 columns, the outermost first', () => {
    const fields = (count: number): string[] => Array.from({ length: count }, (_, i) => `width_${i} = ${i} mm`);
    expectFormat(
      `part A { part B { ${fields(8).join('   ')} } }`,
      `part A {\n  part B {\n    ${fields(8).join('\n    ')}\n  }\n}\n`,
    );
    expectFormat(
      `part A { part B { ${fields(6).join('   ')} } }`,
      `part A {\n  part B { ${fields(6).join('   ')} }\n}\n`,
    );
  });

  it('leaves a long expression and a long comment alone', () => {
    const sum = Array.from({ length: 30 }, (_, i) => `width_${i}`).join(' + ');
    expectFormat(`let a = ${sum}`, `let a = ${sum}\n`);
    expectFormat(`let a = { x: 1 }.x + ${sum}`, `let a = { x: 1 }.x + ${sum}\n`);
    expectFormat(
      `part A { a = 1 mm } // ${'why '.repeat(40)}`,
      `part A { a = 1 mm }  // ${'why '.repeat(40).trimEnd()}\n`,
    );
  });
});

describe('comments', () => {
  it.each([
    ['behind a value', 'let a = 1 //why', 'let a = 1  //why\n'],
    ['behind a brace', 'part A {// why\na = 1\n}// end', 'part A {  // why\n  a = 1\n}  // end\n'],
    [
      'on a line of their own',
      'part A {\n// one\na = 1\n      // two\n}\n   // three',
      'part A {\n  // one\n  a = 1\n  // two\n}\n// three\n',
    ],
    [
      'documentation',
      'part A {\n/// Width.\n/// In the web.\nb = 1 mm\n}',
      'part A {\n  /// Width.\n  /// In the web.\n  b = 1 mm\n}\n',
    ],
    ['inside a line', 'let a = b/* c */+ f( /* d */ e )', 'let a = b /* c */ + f(/* d */ e)\n'],
    ['over several lines', 'part A {\n/* one\n   two */\na = 1\n}', 'part A {\n  /* one\n   two */\n  a = 1\n}\n'],
    [
      'in a table',
      'let a = [1 -> 2, // one\n3 -> 4, /* four */ 5 -> 6, 7 -> 8 // last\n]',
      'let a = [\n  1 -> 2,  // one\n  3 -> 4,\n  /* four */ 5 -> 6,\n  7 -> 8  // last\n]\n',
    ],
    ['before what goes on', 'let a = b\n// why\n+ c', 'let a = b\n  // why\n  + c\n'],
    [
      'that keep a brace and a comma on their line',
      'part A // why\n{ a = f(b // c\n, d) }',
      'part A  // why\n  {\n    a = f(b  // c\n      , d)\n  }\n',
    ],
    ['alone', '  // one\n\n\n/* two */', '// one\n\n/* two */\n'],
  ])('%s', (_, text, expected) => expectFormat(text, expected));
});

describe('what cannot be read', () => {
  const broken = 'part  B {  t = = 2 mm\n\n\n  u=1 }';

  it('stays as it is, with the rest formatted', () => {
    expectFormat(`let a=1\n\n\n\n${broken}\n\n\n\nlet b=2`, `let a = 1\n\n\n\n${broken}\n\nlet b = 2\n`);
  });

  it.each([
    broken,
    `\n\n  ${broken}   \n\n`,
    'let a = "never closed',
    'part A {\n  part B {\n a=1\n',
    'let a = 5 ; let b=6',
    ')',
    '/* never closed',
  ])('stays as it is alone: %j', text => {
    expect(formatText(text)).toBe(text);
  });

  it('does not hide a forgotten brace', () => {
    const text = 'part A {\n  part B {\n    t=2 mm\n\n  part C { u=1 mm }\n}\n';
    expect(formatText(text)).toBe(text);
  });
});

describe('edits', () => {
  it('are none where nothing changes', () => {
    expect(formatEdits('part A { a = 1 mm }  // why\n')).toEqual([]);
  });

  it('touch no more than what changes', () => {
    expect(formatEdits('part A {\n   a=1 mm\n  b = 2 m²\n}\n')).toEqual([
      { start: 11, end: 12, text: '' },
      { start: 13, end: 13, text: ' ' },
      { start: 14, end: 14, text: ' ' },
      { start: 28, end: 29, text: '^2' },
    ]);
  });
});
