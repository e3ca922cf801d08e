import type { ValueItem } from '../../model/declaration.js';
import type { Entity } from '../../model/namespace.js';
import type { Cell } from './cell.js';

/** Formulas, and which of them nobody calls: those are elaborated on their own, so that their errors are found. */
export class UncalledFormulas {
  private readonly cells = new Map<ValueItem, Cell>();
  /** How many cells call a formula. */
  private readonly callers = new Map<ValueItem, number>();
  private readonly queue = new Set<Cell>();

  /** Where a formula is written. */
  ownerOf(formula: ValueItem): Entity | undefined {
    return this.cells.get(formula)?.entity;
  }

  isCalled(formula: ValueItem): boolean {
    return this.callers.has(formula);
  }

  add(cell: Cell): void {
    this.cells.set(cell.item as ValueItem, cell);
  }

  delete(cell: Cell): void {
    this.cells.delete(cell.item as ValueItem);
  }

  /** The formula of a cell is written otherwise, before its cell says so. */
  replace(cell: Cell, item: ValueItem): void {
    this.delete(cell);
    this.cells.set(item, cell);
    this.queue.add(cell);
  }

  /** Asks for a formula to be looked at again. */
  enqueue(cell: Cell): void {
    this.queue.add(cell);
  }

  called(formula: ValueItem): void {
    const count = (this.callers.get(formula) ?? 0) + 1;
    this.callers.set(formula, count);
    if (count === 1) this.lookAgain(formula);
  }

  letGo(formula: ValueItem): void {
    const count = this.callers.get(formula)! - 1;
    if (count > 0) this.callers.set(formula, count);
    else {
      this.callers.delete(formula);
      this.lookAgain(formula);
    }
  }

  /** The formulas to be looked at; those that come meanwhile are among them. */
  *take(): Iterable<Cell> {
    for (const cell of this.queue) if (!cell.removed) yield cell;
    this.queue.clear();
  }

  private lookAgain(formula: ValueItem): void {
    const cell = this.cells.get(formula);
    if (cell && !cell.removed) this.queue.add(cell);
  }
}
