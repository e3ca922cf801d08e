/** Brings cells up to date: elaborates what is written anew, runs the code of what only has other numbers to read. */
import { Budget, OverBudget } from '../../base/index.js';
import type { Item, TextItem, ValueItem } from '../../model/declaration.js';
import { walk } from '../../model/expression.js';
import type { Entity } from '../../model/namespace.js';
import { DIMENSIONLESS, isUnit, parseUnit, toSI } from '../../units/index.js';
import type { Arena } from '../values/arena.js';
import { Builder } from '../values/builder.js';
import { samePlan, type CheckPlan } from '../elaboration/check.js';
import { Elaborator, MOST_STEPS } from '../elaboration/elaborate.js';
import { fieldTakes } from '../elaboration/fields.js';
import { Op } from '../operations/op.js';
import { Abandoned } from '../proof/search.js';
import { mapNodes, type Reason, type Value } from '../values/value.js';
import type { WorstCases } from '../proof/worst-case.js';
import { calculateValue, readsNothingObvious } from './calculations.js';
import { NO_BINDERS, NO_GUARDS, NO_PROBLEMS, State, type Cell } from './cell.js';
import type { Cells } from './cells.js';
import type { Reading } from './reading.js';
import { conclude, moveFoundation, publishNumbers } from './results.js';
import { MOST_STEPS_IN_ALL, type Workload } from './workload.js';
import { valueKey } from './cell-key.js';

/** What an update did; tests assert on it. */
export interface UpdateLog {
  readonly elaborated: string[];
  readonly ran: string[];
}

export class Calculator {
  /** Kept where something asks what an update did. */
  log: UpdateLog | null = null;
  /** How often a cell was elaborated. */
  elaborations = 0;
  /** Builders that no elaboration is using. */
  private readonly builders: Builder[] = [];

  constructor(
    private readonly arena: Arena,
    private readonly readings: WorstCases,
    private readonly cells: Cells,
    private readonly workload: Workload,
    private readonly reading: Reading,
    private readonly unlink: (cell: Cell) => void,
    private readonly onDefect: (what: string, error: unknown) => void,
  ) {}

  /**
   * Brings one cell up to date. What it obviously reads comes first, from a stack of its own, so that long chains need
   * no recursion.
   */
  settle(cell: Cell): void {
    if (cell.state === State.Run) return this.run(cell);
    if (cell.state === State.Elaborate && !cell.busy && !cell.removed && readsNothingObvious(cell))
      return this.elaborate(cell);
    const stack: Cell[] = [cell];
    const opened = new Set<Cell>();
    while (stack.length > 0) {
      const top = stack[stack.length - 1]!;
      if (top.state === State.Clean || top.busy || top.removed) {
        stack.pop();
        continue;
      }
      if (top.state === State.Run) {
        stack.pop();
        this.run(top);
        continue;
      }
      if (!opened.has(top)) {
        opened.add(top);
        for (const next of this.obviousReads(top))
          if (next.state === State.Elaborate && !next.busy && !opened.has(next)) stack.push(next);
        if (stack[stack.length - 1] !== top) continue;
      }
      stack.pop();
      this.elaborate(top);
    }
  }

  private obviousReads(cell: Cell): Cell[] {
    if (readsNothingObvious(cell)) return [];
    const found: Cell[] = [];
    walk((cell.item as ValueItem).value, node => {
      if (node.kind !== 'name') return;
      for (let at: Entity | null = cell.scope; at; at = at.parent) {
        const here = this.cells.get(at, valueKey(node.name));
        if (here) {
          if (here !== cell) found.push(here);
          return;
        }
      }
    });
    return found;
  }

  private run(cell: Cell): void {
    for (const read of cell.reads) if (read.state !== State.Clean && !read.busy) read.home.settle(read);
    // What it reads may have changed its structure while it was settled.
    if ((cell.state as State) === State.Elaborate) return this.settle(cell);
    this.arena.run(cell.code, cell.end);
    cell.state = State.Clean;
    this.log?.ran.push(cell.path);
    if (!this.keepsStructure(cell)) {
      cell.state = State.Elaborate;
      return this.settle(cell);
    }
    cell.home.touch(cell);
    cell.revision++;
    publishNumbers(this.arena, cell);
  }

  /** Whether the numbers that decided a cell's structure are as they were. */
  private keepsStructure(cell: Cell): boolean {
    if (cell.demanded === null) return true;
    for (const [node, value] of cell.demanded) if (!Object.is(this.arena.values[node], value)) return false;
    return cell.steady === this.isSteady(cell);
  }

  /** Whether what its structure depends on is the same over everything that varies. */
  private isSteady(cell: Cell): boolean {
    for (const node of cell.demanded?.keys() ?? []) if (!this.readings.isSteady(node)) return false;
    return true;
  }

  elaborate(cell: Cell): void {
    this.log?.elaborated.push(cell.path);
    this.elaborations++;
    const before = foundationOf(this.arena, cell);
    this.unlink(cell);
    if (this.elaborateNumber(cell)) {
      if (before.reads.length > 0 || before.dependencies.length > 0) moveFoundation(cell);
    } else {
      this.elaborateAny(cell);
      if (!isSameFoundation(this.arena, cell, before)) moveFoundation(cell);
    }
    this.arena.free(before.start, before.count);
  }

  private elaborateAny(cell: Cell): void {
    const builder = this.builders.pop() ?? new Builder(this.arena);
    const budget = new Budget(this.workload.stepsFor(cell));
    const elaborator = new Elaborator(this.reading, builder, (cell.item ?? ATTRIBUTE_ITEM) as Item, cell.scope, budget);
    cell.busy = true;
    cell.demanded = null;
    let value: Value;
    try {
      value = this.reading.for(cell, () => cell.calculate(elaborator, cell));
    } catch (error) {
      value = this.undeterminedFor(error, elaborator, cell);
      cell.plan = null;
    } finally {
      cell.busy = false;
      this.workload.note(cell, Math.min(budget.used, budget.most));
    }
    this.finish(cell, builder, elaborator, value);
    builder.clear();
    this.builders.push(builder);
  }

  /** What an item comes to that is too deep, asks for too much, or on which we fail. */
  private undeterminedFor(error: unknown, elaborator: Elaborator, cell: Cell): Value {
    if (error instanceof Abandoned) throw error;
    elaborator.item = elaborator.root;
    if (error instanceof OverBudget) return this.overBudget(elaborator, cell);
    if (error instanceof RangeError) return elaborator.problem('expression-too-deep', 0);
    this.onDefect(cell.path, error);
    return elaborator.problem('defect', 0, { what: cell.path });
  }

  private overBudget(elaborator: Elaborator, cell: Cell): Value {
    if (elaborator.budget.most === MOST_STEPS)
      return elaborator.problem('too-much-work', 0, { most: printCount(MOST_STEPS) });
    this.workload.refuse(cell);
    return elaborator.problem('too-much-in-all', 0, { most: printCount(MOST_STEPS_IN_ALL) });
  }

  private finish(cell: Cell, builder: Builder, elaborator: Elaborator, value: Value): void {
    const { arena } = this;
    // Conditions make their truth only when it is asked for: what a result holds is asked for now.
    mapNodes(value, node => node);
    const { pending } = builder;
    const { start, code, end, relocate } = builder.finish();
    cell.guarded =
      elaborator.guarded.length === 0
        ? NO_GUARDS
        : elaborator.guarded.map(guard => ({ ...guard, node: relocate(guard.node) }));
    cell.usedBinders = elaborator.usedBinders.size === 0 ? NO_BINDERS : elaborator.usedBinders;
    if (cell.demanded)
      cell.demanded = new Map(
        [...(cell.demanded as Map<number, number>)].map(([node, number]) => [relocate(node), number]),
      );
    if (cell.plan) cell.plan = cell.plan.relocated(relocate);
    if (pending || hasReadings(arena, code, end)) arena.run(code, end);
    cell.steady = this.isSteady(cell);
    if (!cell.steady && cell.plan) cell.plan = cell.plan.undetermined(UNSTEADY);
    conclude(arena, cell, {
      start,
      code,
      end,
      problems: elaborator.problems,
      value: cell.steady ? value : { kind: 'poison', reason: UNSTEADY },
      relocate,
    });
  }

  /** Most values are a number with a unit of the tables: they need no elaboration. */
  private elaborateNumber(cell: Cell): boolean {
    const item = cell.item;
    if (cell.calculate !== calculateValue || !item || !('annotations' in item) || item.kind === 'check') return false;
    const { value, annotations, type } = item as ValueItem;
    if (value.kind !== 'number' || type || annotations.anyDirection) return false;
    const unit = value.unitText === null ? null : parseUnit(value.unitText);
    if (unit !== null && !isUnit(unit)) return false;
    const number = unit ? toSI(unit, value.text) : Number(value.text);
    if (!Number.isFinite(number)) return false;
    const dimension = unit?.dimension ?? DIMENSIONLESS;
    const point = unit?.isPoint ?? false;
    if (
      (item.kind === 'field' || item.kind === 'override') &&
      !fieldTakes(cell.entity.kind, item.path[item.path.length - 1]!, dimension, point)
    )
      return false;
    const node = this.arena.constant(number);
    cell.demanded = null;
    conclude(this.arena, cell, {
      start: node,
      code: node + 1,
      end: node + 1,
      problems: NO_PROBLEMS,
      value: { kind: 'quantity', node, dimension, point, unit },
      relocate: same => same,
    });
    return true;
  }
}

/** What a cell rested on before it was elaborated anew. */
interface Foundation {
  readonly reads: Cell['reads'];
  readonly dependencies: Cell['dependencies'];
  readonly calls: Cell['calls'];
  /** How many numbers decided its structure. */
  readonly demands: number;
  readonly plan: CheckPlan | null;
  readonly results: readonly number[];
  readonly start: number;
  readonly count: number;
}

function foundationOf(arena: Arena, cell: Cell): Foundation {
  const { reads, dependencies, calls, plan, start } = cell;
  const results = cell.outputs.map(slot => arena.a[slot]!);
  return {
    reads,
    dependencies,
    calls,
    plan,
    results,
    start,
    demands: cell.demanded?.size ?? 0,
    count: cell.end - start,
  };
}

/** Whether a cell rests on the same as before: its new code is the old but for the numbers in it. */
function isSameFoundation(arena: Arena, cell: Cell, before: Foundation): boolean {
  const moved = (x: number): number =>
    x >= before.start && x < before.start + before.count ? x - before.start + cell.start : x;
  return (
    cell.reads.length === before.reads.length &&
    before.reads.every(read => read.users.has(cell)) &&
    before.dependencies.join() === cell.dependencies.join() &&
    before.calls.every((item, i) => item === cell.calls[i]) &&
    before.demands === (cell.demanded?.size ?? 0) &&
    cell.end - cell.start === before.count &&
    before.results.length === cell.outputs.length &&
    before.results.every((entry, i) => moved(entry) === arena.a[cell.outputs[i]!]) &&
    samePlan(before.plan, cell.plan, (x, y) => moved(x) === y) &&
    arena.isSameCode(before.start, cell.start, before.count)
  );
}

function printCount(count: number): string {
  return count.toLocaleString('en-US');
}

function hasReadings(arena: Arena, start: number, end: number): boolean {
  for (let i = start; i < end; i++) if (arena.op[i]! >= Op.Low && arena.op[i]! <= Op.RssHigh) return true;
  return false;
}

/** Why a value is undetermined whose structure depends on what varies. */
const UNSTEADY: Reason = {
  code: 'worst-case-not-bounded',
  data: { sources: '', operation: 'a choice, a filter, a count or an index' },
  place: null,
};

/** Stands in for the item of an attribute, which has no text of its own. */
const ATTRIBUTE_ITEM: TextItem = {
  kind: 'text',
  name: 'attribute',
  hash: '',
  spans: [0, 0],
  placement: { file: 'library:attributes', start: 0 },
  segments: [],
};
