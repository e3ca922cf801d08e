/** What completion offers first. */
import { expect, test } from 'vitest';
import type { CompletionItem, TextEdit } from 'vscode-languageserver-types';
import { completionsAt } from '../../server/features/completions.js';
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
