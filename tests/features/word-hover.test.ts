import { expect, test } from 'vitest';
import { wordHover } from '../../server/features/word-hover.js';

const TEXT = `part Bus "Vehicle" {
  let in_flight = 3 kg   // let it be
  mass = 2 kg maturity measured
}
part Deck "Deck" in Bus { source = GUIDE }
requirement R-1 "It shall be so." {
  check for T in knots(1 K .. 2 K): T <= 3 K
  source GUIDE "table 2"
  verify by test on SN-1 protoflight
}
let length = 3 in
`;
const hover = (before: string, word: string): string | undefined =>
  wordHover(TEXT, TEXT.indexOf(`${before}${word}`) + before.length + 1)?.markdown;

test.each([
  ['', 'part', 'A part or an assembly.'],
  ['', 'let', 'A value with a name'],
  ['2 kg ', 'maturity', 'How well a mass is known'],
  ['"Deck" ', 'in', 'The assembly that a part belongs to'],
  ['T ', 'in', 'What the name before it runs over'],
  ['check ', 'for', 'Runs over a list'],
  ['  ', 'source GUIDE', 'the document and the place it comes from'],
  ['verify ', 'by', 'Opens the list of methods'],
  ['SN-1 ', 'protoflight', 'qualifies the design on an article that flies'],
])('%s%s', (before, word, said) => {
  expect(hover(before, word)).toContain(said);
});

test.each([
  ['let ', 'in_flight'],
  ['// ', 'let'],
  ['{ ', 'source = '],
  ['', 'mass'],
  ['3 ', 'in\n'],
  ['It ', 'shall'],
])('nothing of %s%s', (before, word) => {
  expect(hover(before, word)).toBeUndefined();
});
