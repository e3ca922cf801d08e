/** What evidence measured, held against the limits of the requirement that it serves. */
import type { CheckItem, ValueItem } from '../model/declaration.js';
import { walk, type Expression } from '../model/expression.js';
import type { Entity } from '../model/namespace.js';
import { DIMENSIONLESS, type Dimension } from '../units/index.js';
import type { Ground } from './articles.js';
import { checkKey } from './evaluation/cell-key.js';
import type { Cell } from './evaluation/cell.js';
import { printQuantity } from './values/describe.js';
import type { Evaluation } from './evaluation/evaluation.js';
import { covers } from './evidence.js';
import { cellAt } from './facts.js';
import { compare, type CheckResult } from './margin.js';
import { Op } from './operations/op.js';
import type { Condition, Quantity } from './values/value.js';

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
    const closeness = new Map(measured.map(measurement => [measurement, closest(ground, item, measurement)]));
    return checks.flatMap(check => {
      const meant = measured.filter(
        measurement => likeness(requirement, check.cell, measurement) === closeness.get(measurement),
      );
      const named = meant.filter(measurement => closeness.get(measurement)! > 0);
      return agreed(
        (named.length > 0 ? named : meant).flatMap(measurement => verdictOf(ground, item, check, measurement)),
        named.length > 0,
      );
    });
  });
}

/** How well a measured value is named by the check that names it best, of all requirements that the evidence is for. */
function closest({ evaluation, index }: Ground, evidence: Entity, measurement: Measurement): number {
  let best = 0;
  for (const requirement of index.restingOn(evidence))
    for (let i = 0; i < requirement.checks.length; i++) {
      const cell = evaluation.cell(requirement, checkKey(i));
      if (cell) best = Math.max(best, likeness(requirement, cell, measurement));
    }
  return best;
}

/** How many words of its name a measured value shares with a check of its dimension; the statement counts less. */
function likeness(requirement: Entity, cell: Cell, { item, value }: Measurement): number {
  const compared = (cell.plan?.rows ?? []).some(({ condition }) =>
    comparisonsOf(condition).some(({ left }) => left.dimension === value.dimension && left.point === value.point),
  );
  if (!compared) return 0;
  const check = cell.item as CheckItem;
  const shared = (words: ReadonlySet<string>): number => partsOf(item.name).filter(part => words.has(part)).length;
  return 2 * shared(new Set([...namesIn(check.condition), ...partsOf(check.mode ?? '')])) + shared(saidIn(requirement));
}

function measurementsOf(evaluation: Evaluation, evidence: Entity): Measurement[] {
  return [...evidence.values].flatMap(([name, item]) => {
    const value = item.kind === 'measured' ? evaluation.valueOf(evidence, name) : undefined;
    return value?.kind === 'quantity' ? [{ item, value }] : [];
  });
}

function comparisonsOf(condition: Condition | null): Comparison[] {
  if (condition?.kind === 'compare') return [condition];
  return condition === null || condition.kind === 'boolean' ? [] : condition.parts.flatMap(comparisonsOf);
}

/** Of several values that a check may mean and names none of, all have to agree. */
function agreed(verdicts: readonly Verdict[], named: boolean): readonly Verdict[] {
  return named || new Set(verdicts.map(({ passes }) => passes)).size < 2 ? verdicts : verdicts.map(unclear);
}

function unclear(verdict: Verdict): Verdict {
  const { evidence, item } = verdict;
  return {
    ...verdict,
    passes: null,
    reason: `${evidence.label} measured ${item.name}, and which limit it is held against is not clear: call it what the check calls it`,
  };
}

/** One value over the rows of a check in which it was taken: where some of them fail, nobody can tell which counts. */
function verdictOf(ground: Ground, evidence: Entity, check: CheckResult, measurement: Measurement): Verdict[] {
  const { value } = measurement;
  const verdicts = check.rows
    .filter(({ row }) => row.values.some(values => covers(ground, evidence, check, values)))
    .flatMap(({ row }) => comparisonsOf(row.condition))
    .filter(({ left }) => left.dimension === value.dimension && left.point === value.point)
    .map(comparison => compared(ground.evaluation, evidence, check, measurement, comparison));
  if (verdicts.length === 0) return [];
  const worst = verdicts.reduce((x, y) => (y.passes === null || y.margin < x.margin ? y : x));
  return [worst.passes === false && verdicts.some(({ passes }) => passes === true) ? unclear(worst) : worst];
}

function compared(
  evaluation: Evaluation,
  evidence: Entity,
  check: CheckResult,
  { item, value }: Measurement,
  comparison: Comparison,
): Verdict {
  const side = limitSide(evaluation, check, item, comparison);
  if (side === null)
    return unclear({ evidence, item, passes: null, margin: NaN, dimension: DIMENSIONLESS, reason: '' });
  const [low, high] = endsOf(evaluation, value.node);
  const [lowest, highest] = endsOf(evaluation, comparison[side].node);
  const upper = (side === 'right') === comparison.operator.startsWith('<');
  const [worst, limit] = upper ? [high, lowest] : [low, highest];
  const [left, right] = side === 'right' ? [worst, limit] : [limit, worst];
  const { passes, margin, distance } = compare(comparison.operator, left, right, value.point, () => 0, false);
  const print = (number: number): string => printQuantity(number, value.dimension, value.unit, value.point, null);
  return {
    evidence,
    item,
    passes,
    margin,
    dimension: distance ? value.dimension : DIMENSIONLESS,
    reason: `${evidence.label} measured ${item.name} = ${print(worst)}, beyond the limit of ${print(limit)}`,
  };
}

/** The ends of a number that varies. */
export function endsOf(evaluation: Evaluation, node: number): readonly [number, number] {
  const number = evaluation.number(node);
  return evaluation.arena.tolerant[node] !== 0
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
  const [ofLeft, ofRight] = [fixity(evaluation, left.node), fixity(evaluation, right.node)];
  return ofLeft === 0 && ofRight === 0 ? null : ofLeft > ofRight ? 'left' : 'right';
}

/** How much a number is a limit: written in the comparison or by a requirement, written elsewhere, or calculated. */
function fixity(evaluation: Evaluation, node: number): number {
  const cell = cellAt(evaluation, node);
  if (evaluation.arena.op[node] === Op.Constant) return 2;
  if (!cell?.item || !('value' in cell.item) || cell.item.value.kind !== 'number') return 0;
  return cell.entity.kind === 'part' ? 1 : 2;
}

/** Both sides of a comparison where it is written in the check itself. */
export function operandsAt(check: Pick<CheckResult, 'item'>, leftId: number, rightId: number): Expression[] {
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

/** The words of a shall-statement. */
function saidIn({ title }: Entity): ReadonlySet<string> {
  const texts = (title?.segments ?? []).filter(segment => typeof segment === 'string');
  return new Set(texts.flatMap(text => text.toLowerCase().match(/\p{L}+/gu) ?? []));
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
