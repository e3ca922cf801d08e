/** Checks: the rows of a sweep and their margins. */
import type { CheckItem } from '../../model/declaration.js';
import {
  describeKind,
  isPoison,
  mapNodes,
  type CasePart,
  type Condition,
  type Quantity,
  type Reason,
  type Value,
} from '../values/value.js';
import type { Elaboration } from './elaboration.js';
import { sweep } from './sweeps.js';
import { VARIES_IN_SWEEP } from '../operations/op.js';

/** One row of a check: the cases that share it, and the condition with its numbers in the arena. */
export interface CheckRow {
  /** One name for each combination of the sweep that came to this same calculation. */
  readonly names: readonly (readonly CasePart[])[];
  /** What the names of the sweep stood for, one list for each of `names`. */
  readonly values: readonly (readonly Value[])[];
  readonly condition: Condition | null;
  readonly reason: Reason | null;
}

const NO_ROWS: ReadonlySet<CheckRow> = new Set();

export class CheckPlan {
  /**
   * `between`: rows that stand for everything between the listed ones; null where that can't be followed, since the
   * structure of the check depends on it.
   */
  constructor(
    readonly rows: readonly CheckRow[],
    readonly complete: boolean,
    readonly between: readonly CheckRow[] | null,
    /** Listed rows that nothing between stands for. */
    readonly alone: ReadonlySet<CheckRow> = NO_ROWS,
  ) {}

  /** The same rows without their verdicts. */
  undetermined(reason: Reason): CheckPlan {
    return new CheckPlan(
      this.rows.map(row => ({ ...row, condition: null, reason })),
      this.complete,
      [],
    );
  }

  relocated(relocate: (node: number) => number): CheckPlan {
    const rows = this.rows.map(row => relocateRow(row, relocate));
    return new CheckPlan(
      rows,
      this.complete,
      this.between && this.between.map(row => relocateRow(row, relocate)),
      this.alone.size === 0 ? NO_ROWS : new Set(rows.filter((_, i) => this.alone.has(this.rows[i]!))),
    );
  }
}

function relocateRow(row: CheckRow, relocate: (node: number) => number): CheckRow {
  return {
    reason: row.reason,
    condition: row.condition && relocateCondition(row.condition, relocate),
    // Names and loads without numbers of their own stay the lists they are.
    names: row.names.map(name =>
      name.every(part => part.kind === 'text') ? name : name.map(part => relocatePart(part, relocate)),
    ),
    values: row.values.map(list =>
      list.every(value => value.kind === 'entity' || value.kind === 'text')
        ? list
        : list.map(value => mapNodes(value, relocate)),
    ),
  };
}

function relocatePart(part: CasePart, relocate: (node: number) => number): CasePart {
  if (part.kind === 'text') return part;
  const node = relocate(part.node);
  if (part.kind !== 'between') return { ...part, node };
  return {
    ...part,
    node,
    angle: part.angle === null ? null : relocate(part.angle),
    ends: [relocate(part.ends[0]), relocate(part.ends[1])],
  };
}

/** Whether two plans hold the same conditions over entries that `same` takes for each other. */
export function samePlan(x: CheckPlan | null, y: CheckPlan | null, same: (x: number, y: number) => boolean): boolean {
  if (!x || !y) return x === y;
  const sameRows = (p: readonly CheckRow[], q: readonly CheckRow[]): boolean =>
    p.length === q.length && p.every((row, i) => sameCondition(row.condition, q[i]!.condition, same));
  return (
    sameRows(x.rows, y.rows) &&
    (x.between === null) === (y.between === null) &&
    sameRows(x.between ?? [], y.between ?? [])
  );
}

function sameCondition(x: Condition | null, y: Condition | null, same: (x: number, y: number) => boolean): boolean {
  if (!x || !y) return x === y;
  if (x.kind === 'compare')
    return (
      y.kind === 'compare' &&
      x.operator === y.operator &&
      same(x.left.node, y.left.node) &&
      same(x.right.node, y.right.node)
    );
  if (x.kind === 'boolean') return y.kind === 'boolean' && same(x.node, y.node);
  return (
    y.kind === x.kind &&
    x.parts.length === y.parts.length &&
    x.parts.every((part, i) => sameCondition(part, y.parts[i]!, same))
  );
}

function relocateCondition(condition: Condition, relocate: (node: number) => number): Condition {
  switch (condition.kind) {
    case 'compare':
      return { ...condition, left: moved(condition.left, relocate), right: moved(condition.right, relocate) };
    case 'boolean':
      return { kind: 'boolean', node: relocate(condition.node) };
    default:
      return { ...condition, parts: condition.parts.map(part => relocateCondition(part, relocate)) };
  }
}

function moved(quantity: Quantity, relocate: (node: number) => number): Quantity {
  return { ...quantity, node: relocate(quantity.node) };
}

/**
 * Elaborates every combination of the sweep. Combinations that come to the same calculation are one row with several
 * names.
 */
export function elaborateCheck(elaborator: Elaboration, item: CheckItem): CheckPlan {
  const rows: {
    names: (readonly CasePart[])[];
    values: (readonly Value[])[];
    condition: Condition | null;
    reason: Reason | null;
  }[] = [];
  const known = new Map<string, number>();
  const add = (
    name: readonly CasePart[],
    values: readonly Value[],
    condition: Condition | null,
    reason: Reason | null,
  ): void => {
    const key = condition ? signature(condition) : `! ${reason?.code ?? ''} ${rows.length}`;
    const at = known.get(key);
    if (at !== undefined) {
      rows[at]!.names.push(name);
      rows[at]!.values.push(values);
      return;
    }
    known.set(key, rows.length);
    rows.push({ names: [name], values: [values], condition, reason });
  };
  let nothing = false;
  const sweepAll = (): boolean =>
    sweep(
      elaborator,
      item.binders,
      null,
      (env, parts, values) => {
        const value = elaborator.expression(item.condition, env);
        if (isPoison(value)) add(parts, values, null, value.reason);
        else if (value.kind === 'truth')
          add(parts, values, value.condition ?? { kind: 'boolean', node: value.node }, null);
        else
          add(
            parts,
            values,
            null,
            elaborator.problem('condition-expected', item.condition.id, { found: describeKind(value) }).reason,
          );
      },
      env => void elaborator.expression(item.condition, env),
      ({ domain, name }) => {
        nothing = true;
        elaborator.problem('empty-sweep', domain.id, { name });
      },
    );
  let complete = sweepAll();
  if (elaborator.directionsUsed && !elaborator.allDirections) {
    // A component across the axis was asked for: both signs along one axis don't reach the worst direction.
    elaborator.allDirections = true;
    rows.length = 0;
    known.clear();
    complete = sweepAll();
  }
  if (!complete || !elaborator.listsSome) return new CheckPlan(rows, complete && !nothing, []);
  const { between, steady } = elaborateBetween(elaborator, item);
  const alone = rows.filter(row => row.condition !== null && steady.has(signature(row.condition)));
  return new CheckPlan(rows, complete && !nothing, between, new Set(alone));
}

/**
 * The sweep once more, over everything between what it lists: one row for each load and each case that is counted.
 * `steady`: signatures of conditions that nothing swept moves.
 */
function elaborateBetween(
  elaborator: Elaboration,
  item: CheckItem,
): { between: readonly CheckRow[] | null; steady: ReadonlySet<string> } {
  const rows = new Map<string, CheckRow>();
  const steady = new Set<string>();
  let followed = true;
  elaborator.continuous = true;
  elaborator.broken = false;
  elaborator.quietly(() =>
    sweep(elaborator, item.binders, null, (env, parts, values) => {
      const value = elaborator.expression(item.condition, env);
      if (value.kind !== 'truth') {
        followed = false;
        return;
      }
      const condition = value.condition ?? { kind: 'boolean' as const, node: value.node };
      const varies = conditionNodes(condition).some(node => elaborator.builder.variation(node) & VARIES_IN_SWEEP);
      const key = signature(condition);
      if (!varies) steady.add(key);
      else if (!rows.has(key)) rows.set(key, { names: [parts], values: [values], condition, reason: null });
    }),
  );
  elaborator.continuous = false;
  return { between: followed && !elaborator.broken ? [...rows.values()] : null, steady };
}

/** The numbers that a condition compares or is. */
export function conditionNodes(condition: Condition): number[] {
  switch (condition.kind) {
    case 'compare':
      return [condition.left.node, condition.right.node];
    case 'boolean':
      return [condition.node];
    default:
      return condition.parts.flatMap(conditionNodes);
  }
}

function signature(condition: Condition): string {
  switch (condition.kind) {
    case 'compare':
      return `${condition.left.node}${condition.operator}${condition.right.node}`;
    case 'boolean':
      return String(condition.node);
    default:
      return `${condition.kind}(${condition.parts.map(signature).join()})`;
  }
}
