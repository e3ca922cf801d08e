/** A small share of the random cases, the same each time, and what they once found. */
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { EDITS } from './edits.js';
import { EXTREMES, SCRAPS } from './extremes.js';
import { followed } from './properties/edits.js';
import { openHostile } from './properties/hostile.js';
import { properties, Random } from './property.js';

const CASES = 150;
const SEED = 1;

test.each(await properties())('$name holds in cases of chance', async property => {
  for (let seed = SEED; seed < SEED + (property.share ?? CASES); seed++)
    expect(await property.check(new Random(seed)), `seed ${seed}`).toBeUndefined();
});

const beginning = () => 0;

describe('hostile texts', () => {
  test.each(readdirSync('tests/fuzz/hostile'))('that once did harm: %s', async name => {
    expect(await openHostile(readFileSync(`tests/fuzz/hostile/${name}`, 'utf8'), beginning)).toBeUndefined();
  });

  test.each(Object.entries(EXTREMES))('of one kind: %s', async (_, text) => {
    expect((await openHostile(text, beginning))?.reason).toBeUndefined();
  });

  test.each(SCRAPS)('that are halves: %s', async text => {
    expect((await openHostile(text, beginning))?.reason).toBeUndefined();
    expect((await openHostile(`part P "P" { ${text} }`, beginning))?.reason).toBeUndefined();
  });
});

test.each(Object.entries(EDITS))('edited is fresh, there and back: %s', (_, states) => {
  const there = states.map(state => new Map(typeof state === 'string' ? [['a.gus', state]] : Object.entries(state)));
  expect(followed([...there, ...there.slice(0, -1).reverse()])?.reason).toBeUndefined();
});
