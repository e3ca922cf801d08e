import { describe, expect, test } from 'vitest';
import { holdAgainstPoints, randomModel } from '../fuzz/proof.js';
import { Random } from '../fuzz/random.js';

const MODELS = Number(process.env['GUSSET_MODELS'] ?? 400);
const SEED = Number(process.env['GUSSET_SEED'] ?? 1);

describe('worst cases are proved', () => {
  test(`of ${MODELS} random models none has a point below the margin that is told`, () => {
    const failures: string[] = [];
    const states = new Map<string, number>();
    for (let n = 0; n < MODELS; n++) {
      const random = new Random(SEED * 1_000_003 + n);
      const outcome = holdAgainstPoints(randomModel(random), random, 200);
      states.set(outcome.state, (states.get(outcome.state) ?? 0) + 1);
      if (outcome.failure) failures.push(`model ${n}: ${outcome.failure}`);
    }
    if (process.env['GUSSET_MODELS']) console.log(Object.fromEntries(states));
    expect(failures.slice(0, 3)).toEqual([]);
    // A property that is never determined can't fail.
    expect((states.get('bracketed') ?? 0) + (states.get('failing') ?? 0)).toBeGreaterThan(MODELS / 2);
  });
});
