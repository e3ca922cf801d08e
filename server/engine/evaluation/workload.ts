import { MOST_STEPS } from '../elaboration/elaborate.js';
import { mark, State, type Cell } from './cell.js';

/** Expressions that all items of a model together may come to: about as many numbers are kept for them. */
export const MOST_STEPS_IN_ALL = 64_000_000;
/** What an item may come to when all is spent: as much as most do. */
const FEW_STEPS = 1_000;

/**
 * What the items of a model cost together, those of its configurations included. Each has a budget of its own; here is
 * bounded what many that use all of it ask for. An item that comes when all is spent gets little, and is undetermined
 * where it needs more until others cost less.
 */
export class Workload {
  /** Costs of the cells that cost more than a little. */
  private readonly costs = new Map<Cell, number>();
  private total = 0;
  private readonly refused = new Set<Cell>();

  constructor(private readonly most = MOST_STEPS_IN_ALL) {}

  /** Steps that a cell may take now. */
  stepsFor(cell: Cell): number {
    this.drop(cell);
    return this.total < this.most ? MOST_STEPS : FEW_STEPS;
  }

  /** Notes what the elaboration of a cell took. */
  note(cell: Cell, steps: number): void {
    if (steps <= FEW_STEPS) return;
    this.costs.set(cell, steps);
    this.total += steps;
  }

  /** Notes a cell that was given little and needs more. */
  refuse(cell: Cell): void {
    this.refused.add(cell);
  }

  drop(cell: Cell): void {
    this.total -= this.costs.get(cell) ?? 0;
    this.costs.delete(cell);
    this.refused.delete(cell);
  }

  /** Asks again for the cells that were refused, where there is room now. */
  retry(): void {
    if (this.total >= this.most) return;
    for (const cell of this.refused) mark(cell, State.Elaborate);
    this.refused.clear();
  }
}
