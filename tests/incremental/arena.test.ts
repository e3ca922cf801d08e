/** What is freed is used again: a day of edits must not make the arena grow. */
import { expect, test } from 'vitest';
import { Arena } from '../../server/engine/values/arena.js';
import { Random } from '../fuzz/property.js';

test('the arena grows with what it holds at once, not with what came and went', () => {
  const random = new Random(1);
  const arena = new Arena();
  const blocks: { start: number; count: number }[] = [];
  const lengths = (): number => (random.chance(0.1) ? random.below(2_000) : random.below(60)) + 1;
  const allocate = (): void => {
    const count = lengths();
    blocks.push({ start: arena.allocate(count), count });
  };
  for (let i = 0; i < 300; i++) allocate();
  const atFirst = arena.size;
  for (let i = 0; i < 30_000; i++) {
    const [{ start, count }] = blocks.splice(random.below(blocks.length), 1) as [{ start: number; count: number }];
    arena.free(start, count);
    allocate();
  }
  expect(arena.size).toBeLessThan(6 * atFirst);
  const entries = blocks.flatMap(({ start, count }) => Array.from({ length: count }, (_, i) => start + i));
  expect(new Set(entries).size, 'no two blocks share an entry').toBe(entries.length);
});
