/** Cycles of a history against a reference library, and properties that hold for every history. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { openTexts } from '../support/fixture.js';

/** Ranges with their counts, the smallest first. */
function cycles(history: readonly number[]): [number, number][] {
  const text = `let h = [${history.join(', ')}]\nlet cycles = rainflow(h)\nlet n = count(cycles)`;
  const { evaluation } = openTexts({ 'project.gus': 'project P { date = 2027-01-01 }', 'a.gus': text }).view;
  const value = evaluation.valueOf(evaluation.namespace.root, 'cycles');
  if (value?.kind !== 'list') throw new Error(value?.kind);
  const found = new Map<number, number>();
  for (const item of value.items) {
    if (item.kind !== 'record') throw new Error(item.kind);
    const number = (name: string): number => {
      const entry = item.entries.get(name);
      if (entry?.kind !== 'quantity') throw new Error(name);
      return evaluation.number(entry.node);
    };
    const range = Number(number('range').toPrecision(12));
    found.set(range, (found.get(range) ?? 0) + number('count'));
  }
  return [...found].sort(([x], [y]) => x - y);
}

// The example in the documentation of the Python package rainflow 3.2, which implements ASTM E1049-85.
test('a signal of 201 points has the cycles that a reference library finds', () => {
  const signal = Array.from({ length: 201 }, (_, i) => (4 * i) / 200).map(
    t => 0.2 + 0.5 * Math.sin(t) + 0.2 * Math.cos(10 * t) + 0.2 * Math.sin(4 * t),
  );
  const expected = [
    [0.04258965150708488, 0.5],
    [0.10973439445727551, 1],
    [0.11294628078612906, 0.5],
    [0.2057106991158965, 1],
    [0.21467990941625242, 1],
    [0.4388985979776988, 1],
    [0.48305748051348263, 0.5],
    [0.5286423866535466, 0.5],
    [0.7809330293159786, 0.5],
    [1.4343610172143002, 0.5],
  ] as const;
  const found = cycles(signal);
  expect(found.map(([, count]) => count)).toEqual(expected.map(([, count]) => count));
  found.forEach(([range], i) => expect(range).toBeCloseTo(expected[i]![0], 10));
});

const histories = fc.array(fc.integer({ min: -9, max: 9 }), { minLength: 2, maxLength: 24 });
const turns = (history: readonly number[]): number => {
  const moves = history
    .slice(1)
    .map((x, i) => Math.sign(x - history[i]!))
    .filter(move => move !== 0);
  return moves.filter((move, i) => move !== moves[i - 1]).length;
};

test('each way between two turns counts half a cycle, and the largest range is the whole one', () => {
  fc.assert(
    fc.property(histories, history => {
      const found = cycles(history);
      expect(found.reduce((sum, [, count]) => sum + count, 0)).toBe(turns(history) / 2);
      const whole = Math.max(...history) - Math.min(...history);
      expect(found.at(-1)?.[0] ?? 0).toBe(whole);
    }),
    { numRuns: 150 },
  );
});

test('a history upside down has the same cycles', () => {
  fc.assert(
    fc.property(histories, history => {
      expect(cycles(history.map(x => -x))).toEqual(cycles(history));
    }),
    { numRuns: 60 },
  );
});
