/** What a word is by the place of the grammar that it stands in. */
import { expect, test } from 'vitest';
import { typedTokens } from '../../server/features/token-types.js';
import { open } from '../findings/project.js';

function typeOf(text: string, word: string): string | undefined {
  const tokens = typedTokens(open({ 'a.gus': text }), text);
  const found = tokens.find(({ start, end }) => text.slice(start, end) === word);
  return found && [found.type, ...found.modifiers].join(' ');
}

test.each([
  ['specimen', 'table T = file("t.csv") { specimen as text "S" }', 'property declaration'],
  ['House', 'use "../house" as House', 'namespace declaration'],
  ['B', 'material M { yield = 3 MPa basis B }', 'enumMember'],
  ['input', 'material M { yield = by input, T { (1, 1 K) -> 3 MPa } }', 'parameter declaration'],
  ['stage', 'let r = { let stage = 1, whole: 2 }', 'variable declaration'],
  ['whole', 'let r = { let stage = 1, whole: 2 }', 'property declaration'],
  ['torque', 'kind K { given torque: torque }', 'parameter declaration'],
  ['k', 'let f = reserve(k: 2 <= 3)', 'parameter declaration'],
  ['x', 'let f = root(x in 0 .. 5: 1)', 'parameter declaration'],
  ['width', 'part A {\n  t = 3 mm *\n  width = 2 mm\n}', 'property declaration'],
  ['CDR', 'milestone CDR { date = 2027-04-20 }\nrequirement R-1 "x" { verify by test by CDR }', 'event declaration'],
])('%s in %s', (word, text, type) => {
  expect(typeOf(text, word)).toBe(type);
});

test('a milestone behind a method is one', () => {
  const text = 'requirement R-1 "x" { verify by test by CDR }\nmilestone CDR { date = 2027-04-20 }';
  expect(typeOf(text, 'CDR')).toBe('event');
});
