/** What completion offers first. */
import { expect, test } from 'vitest';
import type { CompletionItem, TextEdit } from 'vscode-languageserver-types';
import { completionsAt } from '../../server/features/completion/completions.js';
import { open } from '../findings/project.js';
import { contextOf } from '../support/features.js';

const BASE = `project P { date = 2027-01-01 }
load Liftoff { axial = -2 g0 .. 8 g0 lateral = 3 g0 any temperature = 10 degC .. 40 degC level = limit }
load Cutoff { axial = 9 g0 level = limit }
let LaunchCases = [Liftoff, Cutoff]
let masses = [1 kg, 2 kg]
material Plate { ultimate = [23 degC -> 400 MPa, 85 degC -> 380 MPa] density = 2.8 g/cm^3 }
environment Orbit { cold = -40 degC hot = 70 degC }
requirement STR-004 "It shall hold." { verify by analysis }
`;

function offered(text: string): CompletionItem[] {
  const at = text.indexOf('|');
  const context = contextOf(open({ 'a.gus': BASE + text.replace('|', '') }), 'a.gus');
  const { items } = completionsAt(context, BASE.length + at, undefined);
  return [...items].sort((a, b) => (a.sortText! < b.sortText! ? -1 : 1));
}

test.each([
  [
    'behind the `in` of a load',
    'part A { requirement R-1 "x" { check for L in |',
    ['corners', 'Cutoff', 'LaunchCases', 'Liftoff'],
  ],
  ['in `corners(`', 'part A { requirement R-1 "x" { check for L in corners(|', ['Cutoff', 'LaunchCases', 'Liftoff']],
  [
    'behind the `in` of a temperature',
    'part A { requirement R-1 "x" { check for L in corners(Liftoff), T in |',
    ['knots', 'Orbit'],
  ],
  ['in an empty part', 'part A {\n  |\n}', ['drawing', 'material', 'mass', 'count']],
  ['at the top of a file', '|', ['project', 'document', 'milestone']],
  ['behind the number of a length by name alone', 'part A {\n  width = 20 |\n}', ['mm', 'm', 'kg']],
])('%s', (_, text, first) => {
  expect(
    offered(text)
      .slice(0, first.length)
      .map(({ label }) => label),
  ).toEqual(first);
});

test.each([
  ['decimal', '","'],
  ['separator', '";"'],
  ['missing', '"n/a"'],
])('behind %s stands %s', (word, value) => {
  expect(offered(`table T = file("t.csv") ${word} | { a as N "F" }`).map(({ label }) => label)).toContain(value);
});

const labels = (text: string): string[] => offered(text).map(({ label }) => label);

test.each([
  ['behind the name of a sweep', 'requirement R-1 "x" { check for L |', ['in']],
  ['behind a condition', 'let x = if 1 < 2 |', ['then', 'and', 'or', 'as']],
  ['behind the `as` of a column', 'table T = file("t.csv") {\n  a as |', ['text', 'case', 'date', 'mm']],
  ['behind a vector', 'part A { position = (1, 2, 3) |', ['mm', 'm', 'in']],
  ['behind the word of a finding', 'project Q { severity tbc = |', ['error', 'warning', 'off']],
  ['behind `review`', 'requirement R-1 "x" { verify by review |', ['of', 'on', 'by']],
  ['in the head of evidence', 'evidence E-1 |', ['for', 'on', 'in']],
])('%s stands what the grammar has there', (_, text, some) => {
  expect(labels(text)).toEqual(expect.arrayContaining(some));
});

test.each([
  ['what a parameter is called', 'let f(|'],
  ['what a sweep binds', 'requirement R-1 "x" { check for |'],
  ['the inputs of a table', 'material M { E = by x, |'],
  ["a name of one's own", 'let |'],
])('nothing for %s', (_, text) => {
  expect(labels(text)).toEqual([]);
});

test.each([
  ['in', 'requirement R-1 "x" { check for L |', ['as', 'and', 'basis']],
  ['then', 'let x = if 1 < 2 |', ['else', 'basis', 'requires']],
  ['is', 'part A |', ['of', 'for', 'on', 'skip']],
  ['tbc', 'let x = 3 mm |', ['requires', 'step', 'normal', 'while']],
])('%s is offered, and not what stands elsewhere', (word, text, others) => {
  expect(labels(text)).toContain(word);
  for (const other of others) expect(labels(text)).not.toContain(other);
});

test('a field is offered once, though the line before lacks its value', () => {
  expect(labels('part A {\n  count = 2 *\n  mass = 3 kg\n  |\n}')).not.toContain('mass');
});

test.each([
  ['of what is compared last', 'let x = 3 mm <= 2 N as |', 'N', 'mm'],
  ['of a sum with a product', 'let x = 1 N*m + 3 mm * 2 N as |', 'N*m', 'N'],
  ['that is left of a product', 'let area: area = 1 mm^2 + 3 mm * 2 |', 'mm', 'mm^2'],
])('the unit %s', (_, text, unit, other) => {
  expect(labels(text)).toContain(unit);
  expect(labels(text)).not.toContain(other);
});

test.each([
  ['the spread of a value', 'let t = 3 mm ± |'],
  ['the other way of a condition', 'let t = if 1 < 2 then 3 mm else |'],
  ['the step of a range', 'part A { t = 3 mm within 2 mm .. 4 mm step |'],
  ['a row of a table', 'let s = [1 s -> 2 mm, 3 s -> |'],
  ['a group in a product', 'let area: area = 3 mm * (|'],
])('%s has the dimension of what stands before it', (_, text) => {
  const found = offered(`let width = 5 mm\nlet force = 5 N\n${text}`);
  expect(found.find(({ label }) => label === 'width')?.sortText).toMatch(/^0/);
  expect(found.find(({ label }) => label === 'force')?.sortText).not.toMatch(/^0/);
});

test('nothing where a tolerance begins with 0', () => {
  expect(offered('let x = 3 mm ± 0|')).toEqual([]);
});

test('a word is offered once, with places to fill in and the next free label', () => {
  const found = offered('requirement|').filter(({ label }) => label === 'requirement');
  expect(found).toHaveLength(1);
  expect((found[0]!.textEdit as TextEdit).newText).toMatch(/^requirement \$\{1:STR-005\} /);
});

test.each([
  ['by', 'requirement R-1 "It shall." { verify by test |'],
  ['on', 'requirement R-1 "It shall." { verify by test |'],
  ['while', 'evidence E-1 { holds |'],
])('%s says what it does', (word, text) => {
  expect(offered(text).find(({ label }) => label === word)?.documentation).toMatch(/\w/);
});
