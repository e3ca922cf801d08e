import { expect, test } from 'vitest';
import { holdAgainstPoints, randomModel } from '../fuzz/proof.js';
import { Random } from '../fuzz/property.js';

const MODELS = 100;
const POINTS = 20;

test('most random models are decided: a property that is never determined could not fail', () => {
  const decided = Array.from({ length: MODELS }, (_, seed) => {
    const random = new Random(seed);
    return holdAgainstPoints(randomModel(random), random, POINTS).state;
  }).filter(state => state === 'bracketed' || state === 'failing');
  expect(decided.length).toBeGreaterThan(MODELS / 2);
});
