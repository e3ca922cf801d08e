/** Whether the margin of a plain comparison is a load margin: scaled loads scale applied/allowable alike. */
import { valueKey } from './evaluation/cell-key.js';
import { Cell, SlotOwner } from './evaluation/cell.js';
import type { Evaluation } from './evaluation/evaluation.js';
import type { Arena } from './values/arena.js';
import type { CheckRow } from './elaboration/check.js';
import { factsOfRow, type Facts } from './facts.js';
import { Op } from './operations/op.js';
import { OPERANDS, OPERATIONS } from './operations/operations.js';
import type { Origin } from './values/value.js';
import { ACCELERATION, FORCE, PRESSURE, TORQUE, divide, FREQUENCY, power, type Dimension } from '../units/index.js';

/** Powers with which quantities grow when the loads are scaled: a spectral density with the square. */
const LOAD_DIMENSIONS: ReadonlyMap<Dimension, number> = new Map([
  [ACCELERATION, 1],
  [FORCE, 1],
  [PRESSURE, 1],
  [TORQUE, 1],
  [divide(power(ACCELERATION, 2), FREQUENCY), 2],
]);

const TEMPERATURE = valueKey('temperature');

/** How much each entry of the walk that is going on grows when the loads do. */
let growths = new Float64Array(1024);

/**
 * The degree with which applied/allowable grows with the loads it reaches, or null where it reaches none or has no
 * slope there.
 * 1 means that the ordinary margin is the factor on the loads less one.
 */
export function loadDegree(evaluation: Evaluation, applied: number, allowable: number): number | null {
  const { arena } = evaluation;
  if (growths.length < arena.size) growths = new Float64Array(arena.op.length);
  const loads: number[] = [];
  const order = arena.orderBelow([applied, allowable], (entry, list) => {
    const weight = loadWeight(evaluation, entry);
    if (weight === 0) return arena.pushOperands(entry, list);
    loads.push(entry);
    growths[entry] = weight * arena.values[entry]!;
  });
  if (loads.length === 0) return null;
  for (const entry of order) if (!loads.includes(entry)) growths[entry] = growth(arena, entry);
  const degree = growths[applied]! / arena.values[applied]! - growths[allowable]! / arena.values[allowable]!;
  return Number.isFinite(degree) ? degree : null;
}

/** Growth of an entry by that of its operands, the chain rule; NaN where it has no slope but moves. */
function growth(arena: Arena, entry: number): number {
  const { values } = arena;
  const op = arena.opAt(entry);
  const [a, b, c] = [arena.a[entry]!, arena.b[entry]!, arena.c[entry]!];
  if (op === Op.Reserve || op === Op.Root || op === Op.Low || op === Op.High)
    return arena.operands(entry).some(operand => growths[operand] !== 0) ? NaN : 0;
  // The third place of a lookup holds the number of its table.
  const third = OPERANDS[op]! > 2 ? c : 0;
  return OPERATIONS[op].growth(
    values[a]!,
    values[b]!,
    values[third]!,
    values[entry]!,
    growths[a]!,
    growths[b]!,
    growths[third]!,
    op === Op.Lookup ? arena.tableOf(entry) : null,
  );
}

interface Degree {
  readonly facts: Facts;
  readonly sides: readonly [number, number];
  readonly degree: number | null;
}
const degrees = new WeakMap<CheckRow, Degree>();

/** `loadDegree` of a row: kept until what its formulas read is something else, or its sides have other numbers. */
export function loadDegreeOf(evaluation: Evaluation, row: CheckRow, applied: number, allowable: number): number | null {
  const facts = factsOfRow(evaluation, row, 'both');
  const sides = [evaluation.number(applied), evaluation.number(allowable)] as const;
  const known = degrees.get(row);
  if (known?.facts === facts && sides.every((side, i) => Object.is(side, known.sides[i]))) return known.degree;
  const degree = facts.loads.length === 0 ? null : loadDegree(evaluation, applied, allowable);
  degrees.set(row, { facts, sides, degree });
  return degree;
}

/** The weight of a number that is a load: a field of a load block, or a value of a load's table. */
function loadWeight(evaluation: Evaluation, node: number): number {
  const { arena } = evaluation;
  const op = arena.opAt(node);
  if (op !== Op.Slot && op !== Op.Lookup && op !== Op.Lookup2) return 0;
  const detail = arena.details.get(node);
  if (detail?.kind === 'slot') {
    const cell =
      detail.owner instanceof SlotOwner ? detail.owner.cell : detail.owner instanceof Cell ? detail.owner : null;
    if (cell?.entity.kind !== 'load' || cell.key === TEMPERATURE) return 0;
    const value =
      cell.value.kind === 'range'
        ? cell.value.low
        : cell.value.kind === 'any-direction'
          ? cell.value.magnitude
          : cell.value;
    return value.kind === 'quantity' ? (LOAD_DIMENSIONS.get(value.dimension) ?? 0) : 0;
  }
  if (detail?.kind !== 'table') return 0;
  const origin = (detail.origin as { origin: Origin | null } | null)?.origin;
  if (origin?.entity.kind !== 'load') return 0;
  const value = evaluation.valueOf(origin.entity, origin.item.name);
  return value?.kind === 'table' ? (LOAD_DIMENSIONS.get(value.output.dimension) ?? 0) : 0;
}
