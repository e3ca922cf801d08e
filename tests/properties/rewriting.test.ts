/** A model says the same in other units, under other names, in another order. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { openTexts } from '../support/fixture.js';
import { differences, model, outcomesOf, respell, textOf, write, type Block, type Statement } from './models.js';

const settings = { seed: 20_270_101, numRuns: 60 };
const one = (text: string): ReturnType<typeof outcomesOf> => outcomesOf(openTexts({ 'model.gus': text }));
const choices = fc.array(fc.nat(), { minLength: 200, maxLength: 200 });

/** Takes from a list of numbers at random, round and round. */
function chooser(numbers: readonly number[]): (count: number) => number {
  let at = 0;
  return count => numbers[at++ % numbers.length]! % count;
}

function shuffled<T>(list: readonly T[], choose: (count: number) => number): T[] {
  const rest = [...list];
  return list.map(() => rest.splice(choose(rest.length), 1)[0]!);
}

function reordered(block: Statement | Block, choose: (count: number) => number): Statement | Block {
  return 'head' in block && !block.head.startsWith('requirement')
    ? { ...block, body: shuffled(block.body, choose).map(inner => reordered(inner, choose)) }
    : block;
}

test('models are without errors and come to margins', () => {
  const all = fc.sample(model, { ...settings, numRuns: 20 }).map(random => openTexts({ 'model.gus': textOf(random) }));
  for (const project of all)
    expect(
      project
        .findings('model.gus')
        .filter(finding => finding.severity === 'error' && finding.code !== 'failing-margin')
        .map(finding => finding.message),
    ).toEqual([]);
  const statuses = new Set(all.flatMap(project => Object.values(outcomesOf(project)).map(outcome => outcome.status)));
  expect([...statuses].sort()).toEqual(['failing', 'unverified', 'verified']);
});

test('in other units', () => {
  fc.assert(
    fc.property(model, choices, (random, numbers) => {
      expect(differences(one(textOf(random)), one(textOf(random, respell(chooser(numbers)))))).toEqual([]);
    }),
    settings,
  );
});

test('under other names', () => {
  fc.assert(
    fc.property(model, fc.constantFrom('x', 'Ä', '_', 'load', 'mm'), (random, prefix) => {
      expect(one(textOf(random, undefined, name => `${prefix}_${name}`))).toEqual(one(textOf(random)));
    }),
    settings,
  );
});

test('in another order and in other files', () => {
  fc.assert(
    fc.property(model, choices, (random, numbers) => {
      const choose = chooser(numbers);
      const files: Record<string, string> = {};
      for (const block of shuffled(random.blocks, choose)) {
        const file = `${'abc'[choose(3)]!}.gus`;
        files[file] = (files[file] ?? '') + write(reordered(block, choose));
      }
      expect(differences(one(textOf(random)), outcomesOf(openTexts(files)))).toEqual([]);
    }),
    settings,
  );
});
