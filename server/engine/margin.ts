/** Margins of checks: the rules of the language in one place. */
import { TIME } from '../units/index.js';
import type { Comparison } from '../model/expression.js';
import type { CheckItem } from '../model/declaration.js';
import { conditionNodes, type CheckRow } from './elaboration/check.js';
import type { Cell } from './evaluation/cell.js';
import type { Evaluation } from './evaluation/evaluation.js';
import { COMPARISON_TOLERANCE, Op } from './operations/op.js';
import type { Shares } from './values/arena.js';
import { marginOfUse, type Proof, type Work } from './proof/prove.js';
import { BOXES_FOR_A_ROW, kindOf, type Claim } from './proof/worst-case.js';
import type { CasePart, Condition, Reason } from './values/value.js';
import { printQuantity } from './values/describe.js';
import { diagnose } from './diagnose.js';

/** Margins of different kinds are never ranked against each other. */
export type MarginKind = 'strength' | 'distance' | 'life' | 'probability' | 'boolean';

/** Whether anything varies on the way. */
export type Reading = 'nominal' | 'worst case';

export interface Outcome {
  /** Ratio − 1, or a distance in SI; Infinity where unbounded; NaN where undetermined; 1 or −1 for a boolean. */
  readonly margin: number;
  readonly kind: MarginKind;
  readonly passes: boolean | null;
  /** The comparison that governs, with both sides as they were read. */
  readonly leaf: (Condition & { kind: 'compare' }) | null;
  readonly left: number;
  readonly right: number;
  readonly reading: Reading;
  /** A negative value on the applied side of a strength comparison. */
  readonly negative: boolean;
  readonly reason: Reason | null;
  /** The margin that was found where what varies stands; nothing lies below `margin`. */
  readonly found: number;
  /** Where what varies stands in it; null where nothing does, or it stands at its nominal values. */
  readonly at: Shares | null;
  /** Whether nothing can be worse than what is told. */
  readonly bounded: boolean;
}

export interface RowResult extends Outcome {
  readonly row: CheckRow;
}

/** The verdict of a check. Its rows are evaluated anew when they are asked for: a project has many and looks at few. */
export class CheckResult {
  /**
   * `negative`: whether a row holds a negative value against a strength allowable. `governing`: the row with the lowest
   * margin; a failing or
   * undetermined one before any other.
   */
  constructor(
    private readonly evaluation: Evaluation,
    readonly cell: Cell,
    readonly rowCount: number,
    readonly negative: boolean,
    readonly governing: RowResult | null,
    readonly passes: boolean | null,
    readonly thin: boolean,
  ) {}

  get item(): CheckItem {
    return this.cell.item as CheckItem;
  }

  /** Every row, made anew: one is kept, and a check may have thousands. */
  get rows(): readonly RowResult[] {
    return rowResults(this.evaluation, this.cell);
  }

  get reading(): Reading {
    return this.governing?.reading ?? 'nominal';
  }
}

export function unbounded(outcome: Outcome): boolean {
  return outcome.margin === Infinity;
}

/** Evaluates every row of a check, and everything between them, and finds the one that governs. */
export function evaluateCheck(evaluation: Evaluation, cell: Cell, thinMargin: number): CheckResult {
  const item = cell.item as CheckItem;
  const rows = judgedRows(evaluation, cell) ?? rowResults(evaluation, cell);
  const complete = cell.plan?.complete === true;
  const passes =
    rows.length === 0 || (!complete && rows.every(row => row.passes !== false))
      ? null
      : verdict(rows.map(row => row.passes));
  const governing = governingOf(rows);
  const thin = item.annotations.thin
    ? isThin(evaluation, cell, governing)
    : passes === true && governing !== null && governing.kind === 'strength' && governing.margin < thinMargin;
  return new CheckResult(
    evaluation,
    cell,
    rows.length,
    rows.some(row => row.negative),
    governing,
    passes,
    thin,
  );
}

/** The lowest row. Where another is undetermined nobody knows how far the check fails: no margin is told. */
function governingOf(rows: readonly RowResult[]): RowResult | null {
  const lowest = lowestOf(rows);
  if (!lowest || rows.every(row => row.bounded && row.passes !== null)) return lowest;
  return { ...lowest, bounded: false, margin: NaN };
}

function lowestOf(rows: readonly RowResult[]): RowResult | null {
  return rows.reduce<RowResult | null>((worst, row) => (worst === null || worse(row, worst) ? row : worst), null);
}

/** Boxes that all proofs of one check may take together: beyond it rows are undetermined. */
const BOXES_FOR_A_CHECK = 20_000;

/** Evaluates rows one after the other, with the work that is left for their check. */
function rowEvaluator(evaluation: Evaluation, cell: Cell): (row: CheckRow) => RowResult {
  const { mode } = cell.item as CheckItem;
  let left = BOXES_FOR_A_CHECK;
  return row => {
    if (!row.condition) return { row, ...undetermined(row.reason) };
    const work = evaluation.readings.newWork(Math.min(left, BOXES_FOR_A_ROW));
    try {
      return { row, ...evaluateCondition(evaluation, row.condition, mode, work) };
    } catch (error) {
      return { row, ...undetermined(evaluation.undecided(error, cell)), bounded: false };
    } finally {
      left -= work.boxes;
    }
  };
}

/**
 * Rows as far as the verdict needs them: once everything between is bracketed, the listed rows lie within it, and only
 * the lowest of them is looked at by itself. Null where that does not settle it.
 */
function judgedRows(evaluation: Evaluation, cell: Cell): RowResult[] | null {
  const { plan } = cell;
  const { mode } = cell.item as CheckItem;
  if (!plan?.complete || !plan.between || plan.between.length === 0) return null;
  const evaluate = rowEvaluator(evaluation, cell);
  const between = plan.between.map(evaluate);
  if (between.some(result => result.passes === null || !result.bounded)) return null;
  const worst = lowestOf(between)!;
  const rows = plan.rows.map(row =>
    plan.alone.has(row) || !row.condition ? evaluate(row) : quickly(evaluation, row, mode, worst.at),
  );
  const lowest = lowestOf(rows);
  if (!lowest || rows.some(row => row.passes === null)) return null;
  rows[rows.indexOf(lowest)] = evaluate(lowest.row);
  return withBetween(evaluation, rows, between);
}

/** A row where what varies stands as in the worst case of the whole check. */
function quickly(evaluation: Evaluation, row: CheckRow, mode: string | null, at: Shares | null): RowResult {
  const { readings } = evaluation;
  const condition = row.condition!;
  const nodes = conditionNodes(condition);
  const read = (): RowResult => ({ row, ...evaluateNominal(evaluation, condition, mode, false) });
  return at && nodes.some(node => readings.isTolerant(node)) ? readings.at(readings.varying(nodes), at, read) : read();
}

function rowResults(evaluation: Evaluation, cell: Cell): RowResult[] {
  const { plan } = cell;
  if (!plan) {
    const problem = cell.problems[0];
    return problem ? [{ row: NO_ROW, ...undetermined({ ...problem, place: problem.place }) }] : [];
  }
  const evaluate = rowEvaluator(evaluation, cell);
  const rows = plan.rows.map(evaluate);
  if (!plan.complete && rows.length === 0)
    rows.push({
      row: { names: [[]], values: [[]], condition: null, reason: null },
      ...undetermined(cell.problems[0] ?? null),
    });
  return withBetween(evaluation, rows, plan.between && plan.between.map(evaluate));
}

/**
 * What lies between the rows that are listed: where it is worse than all of them it is a row of its own, named by where
 * it lies; where its bound is lower than what was found, the bound is told.
 */
function withBetween(evaluation: Evaluation, listed: RowResult[], between: readonly RowResult[] | null): RowResult[] {
  if (between === null) {
    // What has no result as it is listed has none between, for its own reason.
    if (listed.some(row => row.passes === null)) return listed;
    const reason: Reason = {
      code: 'worst-case-not-bounded',
      data: { sources: '', operation: 'a filter, a count or an index' },
      place: null,
    };
    return [...listed, { row: listed[0]?.row ?? NO_ROW, ...undetermined(reason), bounded: false }];
  }
  let rows = listed;
  for (const result of between) {
    const lowest = lowestOf(rows);
    if (!lowest) continue;
    if (result.passes === null && lowest.passes === null) continue;
    if (result.passes === null || isLower(result.found, lowest, result)) rows = [...rows, placed(evaluation, result)];
    else if (
      result.kind === lowest.kind &&
      Number.isFinite(lowest.margin) &&
      result.margin < lowest.margin - ROUNDING * Math.max(1, Math.abs(lowest.margin))
    )
      rows = rows.map(other => (other === lowest ? { ...other, margin: result.margin } : other));
  }
  return rows;
}

/** A difference of margins that only rounding makes. */
const ROUNDING = 1e-9;
const NO_ROW: CheckRow = { names: [[]], values: [[]], condition: null, reason: null };

function isLower(margin: number, lowest: RowResult, result: RowResult): boolean {
  if (result.kind !== lowest.kind || !Number.isFinite(lowest.found)) return worse(result, lowest);
  return margin < lowest.found - 1e-6 * Math.max(result.kind === 'distance' ? 0 : 1, Math.abs(lowest.found));
}

/** A row that stands between the listed ones, named by what its condition reads, as it is where it was found. */
function placed(evaluation: Evaluation, result: RowResult): RowResult {
  const { row, at } = result;
  const { readings, arena } = evaluation;
  const isSource = (entry: number): boolean => arena.op[entry] === Op.Tolerance;
  const read = new Set(row.condition ? readings.varying(conditionNodes(row.condition)).filter(isSource) : []);
  const isRead = (part: CasePart): boolean =>
    part.kind !== 'between' || !row.condition || readings.varying(nodesOf(part)).some(entry => read.has(entry));
  const parts = row.names.map(name => name.filter(isRead));
  const names = readings.at(readings.varying(parts.flat().flatMap(nodesOf)), at ?? new Map(), () =>
    parts.map(name => name.map(part => placedPart(evaluation, part))),
  );
  return { ...result, row: { ...row, names } };
}

function nodesOf(part: CasePart): readonly number[] {
  if (part.kind !== 'between') return [];
  return part.angle === null ? [part.node] : [part.node, part.angle];
}

function placedPart(evaluation: Evaluation, part: CasePart): CasePart {
  if (part.kind !== 'between') return part;
  const { name, node, angle, dimension, unit, point, ends, ofLoad } = part;
  const value = evaluation.number(node);
  if (angle !== null) {
    const degrees = Math.round((evaluation.number(angle) * 180) / Math.PI);
    if (degrees !== 0) return { kind: 'text', text: `${name} at ${degrees}°`, joined: true };
  }
  if (!ofLoad) return { kind: 'value', name, node: -1, dimension, point, unit, value };
  if (ends.some(end => evaluation.number(end) === value))
    return { kind: 'text', text: `${value < 0 ? '−' : '+'}${name}`, joined: true };
  return { kind: 'text', text: `${name} ${printQuantity(value, dimension, unit, point, null)}`, joined: true };
}

/** A check's own `thin 3 K` holds for whatever kind its margin is. */
function isThin(evaluation: Evaluation, cell: Cell, governing: RowResult | null): boolean {
  const limit = (cell.item as CheckItem).annotations.thin!;
  if (governing?.passes !== true || limit.kind !== 'number') return false;
  const value = evaluation.literal(limit);
  return value !== null && governing.margin < value;
}

function verdict(passes: readonly (boolean | null)[]): boolean | null {
  return passes.includes(false) ? false : passes.includes(null) ? null : true;
}

/**
 * Failing before undetermined before passing; then the lower margin of the same kind; of different kinds the first
 * stays.
 */
function worse(x: Outcome, y: Outcome): boolean {
  const order = (outcome: Outcome): number => (outcome.passes === false ? 0 : outcome.passes === null ? 1 : 2);
  if (order(x) !== order(y)) return order(x) < order(y);
  return x.kind === y.kind ? x.margin < y.margin : unbounded(y) && !unbounded(x);
}

function undetermined(reason: Reason | null): Outcome {
  return {
    margin: NaN,
    kind: 'boolean',
    passes: null,
    leaf: null,
    left: NaN,
    right: NaN,
    reading: 'nominal',
    negative: false,
    reason,
    found: NaN,
    at: null,
    bounded: true,
  };
}

/** A condition with everything that varies at its worst. */
export function evaluateCondition(
  evaluation: Evaluation,
  condition: Condition,
  mode: string | null,
  work: Work = evaluation.readings.newWork(BOXES_FOR_A_ROW),
): Outcome {
  const nominal = evaluateNominal(evaluation, condition, mode, false);
  // What is undetermined anyway needs no bounds.
  if (nominal.passes === null || !conditionNodes(condition).some(node => evaluation.arena.tolerant[node] !== 0))
    return nominal;
  if (condition.kind === 'and' || condition.kind === 'range') {
    const parts = condition.parts.map(part => worstOf(evaluation, part, mode, condition.kind === 'range', work));
    return parts.reduce((worst, part) => (worse(part, worst) ? part : worst));
  }
  return worstOf(evaluation, condition, mode, false, work);
}

function worstOf(
  evaluation: Evaluation,
  condition: Condition,
  mode: string | null,
  distance: boolean,
  work: Work,
): Outcome {
  const nominal = evaluateNominal(evaluation, condition, mode, distance);
  const nodes = conditionNodes(condition);
  if (nominal.passes === null || !nodes.some(node => evaluation.arena.tolerant[node] !== 0)) return nominal;
  const { readings } = evaluation;
  const claim = claimOf(evaluation, condition, distance || nominal.kind === 'distance');
  const size = nominal.leaf ? scaleOf(evaluation, nominal.leaf.left.node, nominal.leaf.right.node) : 0;
  const proof = readings.worst(claim, nominal.margin, size, work);
  if (!proof) return { ...undetermined(notBounded(evaluation, null)), bounded: false };
  const found = readings.at(readings.varying(nodes), proof.at, () =>
    evaluateNominal(evaluation, condition, mode, distance),
  );
  return concluded(evaluation, claim, proof, found, size);
}

/** What a proof and the outcome at its worst point come to. */
function concluded(evaluation: Evaluation, claim: Claim, proof: Proof, found: Outcome, size: number): Outcome {
  const at: Pick<Outcome, 'reading' | 'at'> = { reading: 'worst case', at: proof.at };
  if (proof.state === 'undefined' && found.passes !== null)
    return { ...undetermined(notBounded(evaluation, proof)), ...at, bounded: false };
  if (found.passes === null) return { ...found, ...at };
  const bound = boundOf(claim, proof);
  const margin = lowerOf(bound, found.margin);
  // What is bounded below zero and was found to hold is not known.
  const bounded = proof.state === 'proven' && !(found.passes && margin < -COMPARISON_TOLERANCE * Math.max(1, size));
  if (!bounded && found.passes) return { ...undetermined(notBounded(evaluation, proof)), ...at, bounded };
  return {
    ...found,
    margin: bounded || Number.isFinite(margin) ? margin : NaN,
    found: found.margin,
    ...at,
    bounded,
  };
}

/** The margin that a proof bounds; Infinity where it says nothing of the margin. */
function boundOf(claim: Claim, proof: Proof): number {
  switch (kindOf(claim)) {
    case 'ratio':
      return marginOfUse(-proof.low);
    case 'distance':
      return proof.low;
    case 'truth':
      return Infinity;
  }
}

/** Rounding of a bound is not told where the point that was found says the same. */
function lowerOf(bound: number, found: number): number {
  if (bound >= found) return found;
  const isRounding = Number.isFinite(found) && Math.abs(found - bound) <= ROUNDING * Math.max(1, Math.abs(found));
  return isRounding ? found : bound;
}

function claimOf(evaluation: Evaluation, condition: Condition, distance: boolean): Claim {
  switch (condition.kind) {
    case 'boolean':
      return { kind: 'truth', node: condition.node };
    case 'compare': {
      const { operator, left, right } = condition;
      if (operator === '==' || operator === '!=')
        return { kind: 'same', x: left.node, y: right.node, negated: operator === '!=' };
      const upward = operator.startsWith('<');
      const [applied, allowable] = upward ? [left.node, right.node] : [right.node, left.node];
      const isDistance = distance || left.point || evaluation.number(right.node) === 0;
      return {
        kind: isDistance ? 'distance' : 'ratio',
        applied,
        allowable,
        strict: operator === '<' || operator === '>',
      };
    }
    default:
      return {
        kind: condition.kind === 'or' ? 'or' : 'and',
        parts: condition.parts.map(part => claimOf(evaluation, part, distance || condition.kind === 'range')),
      };
  }
}

function notBounded(evaluation: Evaluation, proof: Proof | null): Reason {
  const obstacle = proof?.obstacle;
  return {
    code: 'worst-case-not-bounded',
    data: {
      sources: [...new Set(obstacle?.sources)].slice(0, 6).join(', '),
      operation: obstacle?.entry == null ? '' : evaluation.readings.operationName(obstacle.entry),
    },
    place: null,
  };
}

/** A condition with everything that varies where it stands now. */
function evaluateNominal(
  evaluation: Evaluation,
  condition: Condition,
  mode: string | null,
  distance: boolean,
): Outcome {
  switch (condition.kind) {
    case 'compare':
      return evaluateComparison(evaluation, condition, mode, distance);
    case 'boolean':
      return evaluateBoolean(evaluation, condition.node);
    default: {
      const parts = condition.parts.map(part =>
        evaluateNominal(evaluation, part, mode, distance || condition.kind === 'range'),
      );
      // Over nothing there is nothing that holds or fails.
      if (parts.length === 0)
        return undetermined({
          code: 'empty-fold',
          data: { name: condition.kind === 'or' ? 'any' : 'all' },
          place: null,
        });
      return condition.kind === 'or'
        ? parts.reduce((best, part) => (worse(best, part) ? part : best))
        : parts.reduce((worst, part) => (worse(part, worst) ? part : worst));
    }
  }
}

function evaluateBoolean(evaluation: Evaluation, node: number): Outcome {
  const value = evaluation.number(node);
  const passes = value !== value ? null : value === 1;
  return {
    margin: passes === null ? NaN : passes ? 1 : -1,
    kind: 'boolean',
    passes,
    leaf: null,
    left: value,
    right: 1,
    reading: 'nominal',
    negative: false,
    reason: passes === null ? diagnose(evaluation, node) : null,
    found: passes === null ? NaN : passes ? 1 : -1,
    at: null,
    bounded: true,
  };
}

interface Measured {
  readonly margin: number;
  readonly passes: boolean | null;
  readonly left: number;
  readonly right: number;
  readonly distance: boolean;
  readonly negative: boolean;
}

function evaluateComparison(
  evaluation: Evaluation,
  leaf: Condition & { kind: 'compare' },
  mode: string | null,
  range: boolean,
): Outcome {
  const { operator, left, right } = leaf;
  const measured = compare(
    operator,
    evaluation.number(left.node),
    evaluation.number(right.node),
    range || left.point,
    () => scaleOf(evaluation, left.node, right.node),
    isUnboundedReserve(evaluation, operator.startsWith('>') ? left.node : right.node),
  );
  const kind = marginKind(evaluation, measured.distance, leaf, mode);
  const reason: Reason | null =
    measured.passes === null
      ? (diagnose(evaluation, left.node) ??
        diagnose(evaluation, right.node) ?? { code: 'not-a-number', data: {}, place: null })
      : null;
  return {
    margin: measured.margin,
    kind,
    passes: measured.passes,
    leaf,
    left: measured.left,
    right: measured.right,
    reading: 'nominal',
    negative: measured.negative && kind === 'strength',
    reason,
    found: measured.margin,
    at: null,
    bounded: true,
  };
}

/** Infinite is a value only where it is the reserve of a condition that never fails, or a choice among such. */
function isUnboundedReserve(evaluation: Evaluation, node: number): boolean {
  const { arena } = evaluation;
  const stack = [node];
  for (let steps = 0; stack.length > 0 && steps < 1_000; steps++) {
    const at = stack.pop()!;
    if (Number.isFinite(arena.values[at]!)) continue;
    const op = arena.opAt(at);
    if (op === Op.Slot || op === Op.Copy) {
      if (!arena.a[at]) return false;
      stack.push(arena.a[at]!);
    } else if (op === Op.Minimum || op === Op.Maximum) stack.push(arena.a[at]!, arena.b[at]!);
    else if (op !== Op.Reserve) return false;
  }
  return stack.length === 0;
}

function marginKind(
  evaluation: Evaluation,
  distance: boolean,
  leaf: Condition & { kind: 'compare' },
  mode: string | null,
): MarginKind {
  if (evaluation.isProbability(leaf.left.node) || evaluation.isProbability(leaf.right.node)) return 'probability';
  if (mode === 'life' || mode === 'fatigue' || leaf.left.dimension === TIME) return 'life';
  return distance ? 'distance' : 'strength';
}

/**
 * `applied <= allowable` has the margin allowable/applied − 1, `value >= required` value/required − 1. Points of
 * temperature, two-sided
 * ranges and limits at zero have a distance. An applied side of zero or of the harmless sign is unbounded; two negative
 * sides
 * compare by magnitude.
 */
export function compare(
  operator: Comparison,
  left: number,
  right: number,
  forceDistance: boolean,
  scale: () => number,
  mayBeUnbounded: boolean,
): Measured {
  const measured = (margin: number, passes: boolean | null, distance: boolean, negative = false): Measured => ({
    margin,
    passes,
    left,
    right,
    distance,
    negative,
  });
  // A reserve without end is more than any that is asked for, and nothing else.
  if (mayBeUnbounded && (operator.startsWith('>') ? left : right) === Infinity)
    return Number.isFinite(operator.startsWith('>') ? right : left)
      ? measured(Infinity, true, false)
      : measured(NaN, null, forceDistance);
  if (!Number.isFinite(left) || !Number.isFinite(right)) return measured(NaN, null, forceDistance);
  const upward = operator === '<=' || operator === '<';
  if (operator === '==' || operator === '!=') {
    const same =
      left === right || Math.abs(left - right) <= COMPARISON_TOLERANCE * Math.max(Math.abs(left), Math.abs(right));
    return measured(same === (operator === '==') ? 0 : -1, same === (operator === '=='), true);
  }
  const [applied, allowable] = upward ? [left, right] : [right, left];
  const strict = operator === '<' || operator === '>';
  const gap = allowable - applied;
  const equal =
    gap === 0 ||
    Math.abs(gap) <= COMPARISON_TOLERANCE * Math.max(Math.abs(applied), Math.abs(allowable)) ||
    Math.abs(gap) <= COMPARISON_TOLERANCE * scale();
  const distance = forceDistance || right === 0;
  if (equal) return strict ? measured(BARELY_FAILING, false, distance) : measured(0, true, distance);
  const passes = gap > 0;
  if (distance) return measured(gap, passes, true);
  if (applied > 0 && allowable > 0) return measured(allowable / applied - 1, passes, false);
  if (applied < 0 && allowable < 0) return measured(applied / allowable - 1, passes, false);
  if (passes) return measured(Infinity, true, false, upward && applied < 0);
  // The signs differ the wrong way round, or nothing is allowed: no factor on the load brings it back.
  return measured(-1, false, false);
}

/** Shown as −0.01: `<` and `>` fail at equality. */
const BARELY_FAILING = -2e-9;

/** The magnitude that a difference was taken from: rounding is relative to that, not to what is left. */
function scaleOf(evaluation: Evaluation, ...nodes: number[]): number {
  const { arena } = evaluation;
  let scale = 0;
  const visit = (node: number, depth: number): void => {
    scale = Math.max(scale, Math.abs(arena.values[node]!));
    if (depth === 0) return;
    const op = arena.opAt(node);
    if (op === Op.Add || op === Op.Subtract) {
      visit(arena.a[node]!, depth - 1);
      visit(arena.b[node]!, depth - 1);
    } else if (op === Op.Slot || op === Op.Copy || op === Op.Negate || op === Op.Tolerance || op === Op.Absolute) {
      if (arena.a[node]) visit(arena.a[node]!, depth - 1);
    } else if (op === Op.Minimum || op === Op.Maximum) {
      visit(arena.a[node]!, depth - 1);
    }
  };
  for (const node of nodes) visit(node, 12);
  return Number.isFinite(scale) ? scale : 0;
}

/**
 * The name of a row's case: "Liftoff +axial −lateral, 40 °C". Where several combinations share a row, what they differ
 * in is left out.
 */
export function caseName(evaluation: Evaluation, row: CheckRow): string {
  const names = row.names;
  if (names.length === 0) return '';
  const first = names[0]!;
  const groups: string[] = [];
  let group = '';
  first.forEach((part, i) => {
    const others = names.map(name => name[i]);
    const text = partName(evaluation, part, others);
    if (text === '') return;
    if (part.kind === 'sign' || (part.kind === 'text' && (part.joined || /^[+−]/.test(text))))
      group += group ? ` ${text}` : text;
    else {
      if (group) groups.push(group);
      group = text;
    }
  });
  if (group) groups.push(group);
  return groups.join(', ');
}

function partName(evaluation: Evaluation, part: CasePart, others: readonly (CasePart | undefined)[]): string {
  switch (part.kind) {
    case 'text':
      return others.every(other => other?.kind === 'text' && other.text === part.text) ? part.text : '';
    case 'sign': {
      const sign = (other: CasePart | undefined): string =>
        other?.kind === 'sign' ? (evaluation.number(other.node) < 0 ? '−' : '+') : '';
      if (!others.every(other => sign(other) === sign(part))) return '';
      const axis =
        part.axis && others.every(other => other?.kind === 'sign' && other.axis === part.axis) ? ` ${part.axis}` : '';
      return `${sign(part)}${part.field}${axis}`;
    }
    case 'value': {
      if (
        !others.every(
          other => other?.kind === 'value' && valueOfPart(evaluation, other) === valueOfPart(evaluation, part),
        )
      )
        return '';
      const printed = printQuantity(valueOfPart(evaluation, part), part.dimension, part.unit, part.point, null).replace(
        / deg([CF])$/,
        ' °$1',
      );
      return part.name ? `${part.name} = ${printed}` : printed;
    }
    case 'between':
      return '';
  }
}

function valueOfPart(evaluation: Evaluation, part: CasePart & { kind: 'value' }): number {
  return part.value ?? evaluation.number(part.node);
}
