/** What evidence measured, held against the limits of the requirement that it serves. */
import type { ValueItem } from '../model/declaration.js';
import { walk, type Expression } from '../model/expression.js';
import type { Entity } from '../model/namespace.js';
import { DIMENSIONLESS, type Dimension } from '../units/index.js';
import type { Ground } from './articles.js';
import { Cell } from './cell.js';
import { printQuantity } from './describe.js';
import type { Evaluation } from './evaluation.js';
import { covers } from './evidence.js';
import { compare, type CheckResult } from './margin.js';
import { Op } from './operations.js';
import type { Condition, Quantity } from './value.js';

type Comparison = Condition & { readonly kind: 'compare' };

interface Measurement {
  readonly item: ValueItem;
  readonly value: Quantity;
}

/** A measured value beside a limit. */
export interface Verdict {
  readonly evidence: Entity;
  readonly item: ValueItem;
  /** Null where nobody can tell which side of the check was measured, or which of several values it is. */
  readonly passes: boolean | null;
  readonly margin: number;
  /** Of the margin, where it is a distance. */
  readonly dimension: Dimension;
  readonly reason: string;
}

/** Every value that evidence measured of what a requirement compares, at its worst. */
export function measuredVerdicts(
  ground: Ground,
  requirement: Entity,
  checks: readonly CheckResult[],
  evidence: readonly Entity[],
): Verdict[] {
  return evidence.flatMap(item => {
    const measured = measurementsOf(ground.evaluation, item);
    if (measured.length === 0) return [];
    return checks.flatMap(check => {
      const comparisons = check.rows
        .filter(({ row }) => row.values.some(values => covers(ground, item, check, values)))
        .flatMap(({ row }) => (row.condition ? comparisonsOf(row.condition) : []));
      return settle(
        measured
          .map(measurement => ({ measurement, verdicts: verdictsOf(ground, item, check, measurement, comparisons) }))
          .filter(({ verdicts }) => verdicts.length > 0),
        wordsOf(requirement, check),
      );
    });
  });
}

function measurementsOf(evaluation: Evaluation, evidence: Entity): Measurement[] {
  return [...evidence.values].flatMap(([name, item]) => {
    const value = item.kind === 'measured' ? evaluation.valueOf(evidence, name) : undefined;
    return value?.kind === 'quantity' ? [{ item, value }] : [];
  });
}

function comparisonsOf(condition: Condition): Comparison[] {
  if (condition.kind === 'compare') return [condition];
  return condition.kind === 'boolean' ? [] : condition.parts.flatMap(comparisonsOf);
}

/**
 * Of several values that a check might mean, those that it names count. Where it names none of them and they differ in
 * their verdict, nobody can tell.
 */
function settle(
  candidates: readonly { readonly measurement: Measurement; readonly verdicts: readonly Verdict[] }[],
  words: ReadonlySet<string>,
): Verdict[] {
  const named = candidates.filter(({ measurement }) => shares(partsOf(measurement.item.name), words));
  const verdicts = (named.length > 0 ? named : candidates).map(entry => worstOf(entry.verdicts));
  const clear = named.length > 0 || candidates.length < 2 || new Set(verdicts.map(({ passes }) => passes)).size < 2;
  return clear ? verdicts : verdicts.map(verdict => ({ ...verdict, passes: null, reason: unclear(verdict) }));
}

/** The verdict of one value over the rows of a check: where only some of them fail, nobody can tell in which it was taken. */
function worstOf(verdicts: readonly Verdict[]): Verdict {
  const worst = verdicts.reduce((x, y) => (y.margin < x.margin || y.passes === null ? y : x));
  const mixed = worst.passes === false && verdicts.some(({ passes }) => passes === true);
  return mixed ? { ...worst, passes: null, reason: unclear(worst) } : worst;
}

function unclear({ evidence, item }: Pick<Verdict, 'evidence' | 'item'>): string {
  return `${evidence.label} measured ${item.name}, and which limit it is held against is not clear: call it what the check calls it`;
}

function verdictsOf(
  { evaluation }: Ground,
  evidence: Entity,
  check: CheckResult,
  { item, value }: Measurement,
  comparisons: readonly Comparison[],
): Verdict[] {
  return comparisons
    .filter(({ left }) => left.dimension === value.dimension && left.point === value.point)
    .map(comparison => {
      const side = limitSide(evaluation, check, item, comparison);
      const base = { evidence, item, dimension: DIMENSIONLESS };
      if (side === null)
        return { ...base, passes: null, margin: NaN, reason: unclear(base) };
      const [low, high] = endsOf(evaluation, value.node);
      const limit = comparison[side];
      const [lowest, highest] = endsOf(evaluation, limit.node);
      const upper = (side === 'right') === comparison.operator.startsWith('<');
      const [worst, bound] = upper ? [high, lowest] : [low, highest];
      const outcome =
        side === 'right'
          ? compare(comparison.operator, worst, bound, value.point, () => 0)
          : compare(comparison.operator, bound, worst, value.point, () => 0);
      const print = (number: number): string =>
        printQuantity(number, value.dimension, value.unit, value.point, null);
      return {
        ...base,
        dimension: outcome.distance ? value.dimension : DIMENSIONLESS,
        passes: outcome.passes,
        margin: outcome.margin,
        reason: `${evidence.label} measured ${item.name} = ${print(worst)}, beyond the limit of ${print(bound)}`,
      };
    });
}

/** The ends of a number that varies. */
export function endsOf(evaluation: Evaluation, node: number): readonly [number, number] {
  const number = evaluation.number(node);
  return evaluation.arena.tolerant[node] === 1
    ? [evaluation.readings.extreme(node, 1), evaluation.readings.extreme(node, -1)]
    : [number, number];
}

/** The side of a comparison that a measured value is held against; null where neither side tells. */
function limitSide(
  evaluation: Evaluation,
  check: CheckResult,
  item: ValueItem,
  { left, right, leftId, rightId }: Comparison,
): 'left' | 'right' | null {
  const parts = partsOf(item.name);
  const [inLeft, inRight] = operandsAt(check, leftId, rightId).map(side => shares(parts, namesIn(side)));
  if (inLeft !== inRight) return inLeft ? 'right' : 'left';
  const [fixedLeft, fixedRight] = [isFixed(evaluation, left.node), isFixed(evaluation, right.node)];
  return fixedLeft === fixedRight ? null : fixedRight ? 'right' : 'left';
}

/** Whether a number is written as it is, and not calculated: a limit. */
function isFixed(evaluation: Evaluation, node: number): boolean {
  const { arena } = evaluation;
  if (arena.op[node] === Op.Constant) return true;
  const detail = arena.op[node] === Op.Slot ? arena.details.get(node) : undefined;
  const cell = detail?.kind === 'slot' && detail.owner instanceof Cell ? detail.owner : null;
  return cell?.item !== null && cell?.item !== undefined && 'value' in cell.item && cell.item.value.kind === 'number';
}

/** Both sides of a comparison where it is written in the check itself. */
function operandsAt(check: CheckResult, leftId: number, rightId: number): Expression[] {
  let found: Expression[] = [];
  walk(check.item.condition, node => {
    const operands = node.kind === 'binary' ? [node.left, node.right] : node.kind === 'chain' ? node.operands : [];
    const at = operands.findIndex(({ id }) => id === leftId);
    if (at >= 0 && operands[at + 1]?.id === rightId) found = operands.slice(at, at + 2);
  });
  return found;
}

function namesIn(expression: Expression): ReadonlySet<string> {
  const names = new Set<string>();
  walk(expression, node => {
    if (node.kind === 'name' || node.kind === 'member') for (const part of partsOf(node.name)) names.add(part);
  });
  return names;
}

/** The words by which a requirement says what a check is about. */
function wordsOf(requirement: Entity, check: CheckResult): ReadonlySet<string> {
  const said = requirement.title?.segments.flatMap(segment =>
    typeof segment === 'string' ? segment.toLowerCase().match(/\p{L}+/gu) ?? [] : [],
  );
  return new Set([...namesIn(check.item.condition), ...partsOf(check.item.mode ?? ''), ...(said ?? [])]);
}

/** `play_cold`, `peakStress` as words. */
function partsOf(name: string): string[] {
  return name
    .replace(/(\p{Ll})(\p{Lu})/gu, '$1 $2')
    .toLowerCase()
    .split(/[^\p{L}\p{N}]+/u)
    .filter(part => part !== '');
}

function shares(parts: readonly string[], words: ReadonlySet<string>): boolean {
  return parts.some(part => words.has(part));
}
