/** Whether the margin of a plain comparison is a load margin: scaled loads scale applied/allowable alike. */
import { Cell, SlotOwner, type Evaluation } from './evaluation.js';
import type { Arena } from './arena.js';
import { slope } from './table.js';
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
  const loads: [number, number][] = [];
  const order = arena.orderBelow([applied, allowable], node => {
    const weight = loadWeight(evaluation, node);
    if (weight > 0) loads.push([node, weight]);
    return weight > 0 ? [] : arena.operands(node);
  });
  if (loads.length === 0) return null;
  const isLoad = new Set(loads.map(([load]) => load));
  const moving = new Set(isLoad);
  const path = order.filter(node => {
    if (isLoad.has(node) || !arena.operands(node).some(operand => moving.has(operand))) return false;
    moving.add(node);
    return true;
  });
  const growth = (root: number): number | null => {
    const slopes = slopesAt(arena, path, root);
    if (!slopes) return null;
    let total = 0;
    for (const [load, weight] of loads) total += weight * arena.values[load]! * (slopes.get(load) ?? 0);
    return total / arena.values[root]!;
  };
  const [up, down] = [growth(applied), growth(allowable)];
  if (up === null || down === null) return null;
  const degree = up - down;
  return Number.isFinite(degree) ? degree : null;
}

/** Derivatives of `root` by the entries of `order` (in order of calculation) and their operands; null where one has none. */
function slopesAt(arena: Arena, order: readonly number[], root: number): Map<number, number> | null {
  const slopes = new Map<number, number>([[root, 1]]);
  const { values, a, b, c } = arena;
  const give = (node: number, slope: number): void => void slopes.set(node, (slopes.get(node) ?? 0) + slope);
  for (let k = order.length - 1; k >= 0; k--) {
    const i = order[k]!;
    const s = slopes.get(i);
    if (s === undefined || s === 0) continue;
    const [x, y] = [values[a[i]!]!, values[b[i]!]!];
    switch (arena.op[i] as Op) {
      case Op.Copy: case Op.Slot: case Op.Tolerance: give(a[i]!, s); break;
      case Op.Add: give(a[i]!, s); give(b[i]!, s); break;
      case Op.Subtract: give(a[i]!, s); give(b[i]!, -s); break;
      case Op.Multiply: give(a[i]!, s * y); give(b[i]!, s * x); break;
      case Op.Divide: give(a[i]!, s / y); give(b[i]!, -s * x / (y * y)); break;
      case Op.Negate: give(a[i]!, -s); break;
      case Op.Square: give(a[i]!, 2 * s * x); break;
      case Op.SquareRoot: give(a[i]!, s / (2 * values[i]!)); break;
      case Op.CubeRoot: give(a[i]!, s / (3 * values[i]! * values[i]!)); break;
      case Op.Absolute: give(a[i]!, s * Math.sign(x)); break;
      case Op.Minimum: give(x <= y ? a[i]! : b[i]!, s); break;
      case Op.Maximum: give(x >= y ? a[i]! : b[i]!, s); break;
      case Op.Select: give(x !== 0 ? b[i]! : c[i]!, s); break;
      case Op.Lookup: give(a[i]!, s * slope(arena.tableOf(i), x)); break;
      case Op.Power:
        give(a[i]!, s * y * Math.pow(x, y - 1));
        if (arena.op[b[i]!] !== Op.Constant) give(b[i]!, s * values[i]! * Math.log(x));
        break;
      default: return null;
    }
  }
  return slopes;
}

const degrees = new WeakMap<CheckRow, { readonly facts: Facts; readonly degree: number | null }>();

/** `loadDegree` of a row, which is a matter of its formulas: kept until what they read is something else. */
export function loadDegreeOf(evaluation: Evaluation, row: CheckRow, applied: number, allowable: number): number | null {
  const facts = factsOfRow(evaluation, row, 'both');
  const known = degrees.get(row);
  if (known?.facts === facts) return known.degree;
  const degree = facts.loads.length === 0 ? null : loadDegree(evaluation, applied, allowable);
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
