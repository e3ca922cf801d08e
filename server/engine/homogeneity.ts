/** Whether the margin of a plain comparison is a load margin: scaled loads scale applied/allowable alike. */
import { Cell, SlotOwner, type Evaluation } from './evaluation.js';
import { boundsOf, slopesOf } from './interval.js';
import type { CheckRow } from './check.js';
import { factsOfRow, type Facts } from './facts.js';
import { Op } from './operations.js';
import type { Origin } from './value.js';
import { ACCELERATION, FORCE, PRESSURE, TORQUE, divide, FREQUENCY, power, type Dimension } from '../units/index.js';

/** Powers with which quantities grow when the loads are scaled: a spectral density with the square. */
const LOAD_DIMENSIONS: ReadonlyMap<Dimension, number> = new Map([[ACCELERATION, 1], [FORCE, 1], [PRESSURE, 1], [TORQUE, 1], [divide(power(ACCELERATION, 2), FREQUENCY), 2]]);

/**
 * The degree with which applied/allowable grows with the loads it reaches, or null where it reaches none or has no slope there.
 * 1 means that the ordinary margin is the factor on the loads less one.
 */
export function loadDegree(evaluation: Evaluation, applied: number, allowable: number): number | null {
  const { arena } = evaluation;
  const order: number[] = [];
  const loads: [number, number][] = [];
  const state = new Map<number, boolean>();
  const depends = (node: number): boolean => {
    const known = state.get(node);
    if (known !== undefined) return known;
    state.set(node, false);
    const weight = loadWeight(evaluation, node);
    if (weight > 0) {
      loads.push([node, weight]);
      order.push(node);
      state.set(node, true);
      return true;
    }
    let some = false;
    for (const operand of arena.operands(node)) if (operand !== 0 && depends(operand)) some = true;
    if (some) order.push(node);
    state.set(node, some);
    return some;
  };
  const reached = [depends(applied), depends(allowable)];
  if (loads.length === 0 || !reached.includes(true)) return null;
  const bounds = boundsOf(arena, order.filter(node => !loads.some(([load]) => load === node)), new Map());
  if (!bounds) return null;
  for (const [load] of loads) bounds.set(load, { low: arena.values[load]!, high: arena.values[load]! });
  const path = order.filter(node => !loads.some(([load]) => load === node));
  const growth = (root: number): number | null => {
    const slopes = slopesOf(arena, path, bounds, root);
    if (!slopes) return null;
    let total = 0;
    for (const [load, weight] of loads) {
      const slope = slopes.get(load);
      if (slope) total += weight * arena.values[load]! * (slope.low + slope.high) / 2;
    }
    return total / arena.values[root]!;
  };
  const [up, down] = [growth(applied), growth(allowable)];
  if (up === null || down === null) return null;
  const degree = up - down;
  return Number.isFinite(degree) ? degree : null;
}

const degrees = new WeakMap<CheckRow, { readonly facts: Facts; readonly degree: number | null }>();

/** `loadDegree` of a row, which is a matter of its formulas: kept until what they read is something else. */
export function loadDegreeOf(evaluation: Evaluation, row: CheckRow, applied: number, allowable: number): number | null {
  const facts = factsOfRow(evaluation, row, 'both');
  const known = degrees.get(row);
  if (known?.facts === facts) return known.degree;
  const degree = facts.loads.size === 0 ? null : loadDegree(evaluation, applied, allowable);
  degrees.set(row, { facts, degree });
  return degree;
}

/** The weight of a number that is a load: a field of a load block, or a value of a load's table. */
function loadWeight(evaluation: Evaluation, node: number): number {
  const { arena } = evaluation;
  const detail = arena.details.get(node);
  if (arena.op[node] === Op.Slot && detail?.kind === 'slot') {
    const cell = detail.owner instanceof SlotOwner ? detail.owner.cell : detail.owner instanceof Cell ? detail.owner : null;
    if (cell?.entity.kind !== 'load' || cell.name === 'temperature') return 0;
    const value = cell.value.kind === 'range' ? cell.value.low : cell.value.kind === 'any-direction' ? cell.value.magnitude : cell.value;
    return value.kind === 'quantity' ? LOAD_DIMENSIONS.get(value.dimension) ?? 0 : 0;
  }
  if (detail?.kind === 'table') {
    const origin = (detail.origin as { origin: Origin | null } | null)?.origin;
    if (origin?.entity.kind !== 'load') return 0;
    const value = evaluation.valueOf(origin.entity, origin.item.name);
    return value?.kind === 'table' ? LOAD_DIMENSIONS.get(value.output.dimension) ?? 0 : 0;
  }
  return 0;
}
