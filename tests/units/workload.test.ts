/** What the items of a model may come to together. */
import { expect, test } from 'vitest';
import { printKey, valueKey } from '../../server/engine/evaluation/cell-key.js';
import { State, type Cell } from '../../server/engine/evaluation/cell.js';
import { Workload } from '../../server/engine/evaluation/workload.js';

const MOST = 3_000_000;

/** A cell that notes what it is marked as. */
function cellNamed(name: string, marked: string[]): Cell {
  const home = { mark: (cell: Cell, state: State) => void marked.push(`${printKey(cell.key)} ${state}`) };
  return { key: valueKey(name), home } as unknown as Cell;
}

test('an item that comes when all is spent gets little, and is asked again once there is room', () => {
  const marked: string[] = [];
  const [first, second, third] = ['first', 'second', 'third'].map(name => cellNamed(name, marked));
  const workload = new Workload(MOST);
  const much = workload.stepsFor(first!);
  workload.note(first!, 2_000_000);
  expect(workload.stepsFor(second!)).toBe(much);
  workload.note(second!, 2_000_000);
  const little = workload.stepsFor(third!);
  expect(little).toBeLessThan(much / 100);
  workload.refuse(third!);
  workload.retry();
  expect(marked).toEqual([]);
  workload.drop(first!);
  workload.retry();
  expect(marked).toEqual([`third ${State.Elaborate}`]);
  expect(workload.stepsFor(third!)).toBe(much);
});

test('an item that was elaborated anew counts once', () => {
  const cell = cellNamed('cell', []);
  const workload = new Workload(MOST);
  for (let i = 0; i < 10; i++) {
    expect(workload.stepsFor(cell)).toBeGreaterThan(1_000_000);
    workload.note(cell, 2_000_000);
  }
});
