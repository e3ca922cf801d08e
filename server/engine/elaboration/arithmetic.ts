/** Arithmetic on quantities and vectors, with their dimensions, units and points of temperature. */
import type { BinaryOperator } from '../../model/expression.js';
import { canRaise, dimensionName, DIMENSIONLESS, divide, multiply, power, type Dimension } from '../../units/index.js';
import { dimensionWords, printQuantity } from '../values/describe.js';
import type { Elaboration } from './elaboration.js';
import { Op } from '../operations/op.js';
import { unlikeRates } from './rates.js';
import type { Quantity, Value, Vector } from '../values/value.js';

export function sum(elaborator: Elaboration, operator: '+' | '-', left: Quantity, right: Quantity, id: number): Value {
  if (left.dimension !== right.dimension)
    return elaborator.problem(operator === '+' ? 'cannot-add' : 'cannot-subtract', id, {
      left: dimensionWords(left),
      right: dimensionWords(right),
    });
  const unlike = unlikeRates(elaborator, left, right, id);
  if (unlike) return unlike;
  if (left.point && right.point && operator === '+') return elaborator.problem('points-added', id);
  if (!left.point && right.point && operator === '-') return elaborator.problem('point-subtracted-from-difference', id);
  const point = operator === '+' ? left.point || right.point : left.point && !right.point;
  const unit = left.point && right.point ? null : (left.unit ?? right.unit);
  return elaborator.quantity(
    elaborator.builder.node(operator === '+' ? Op.Add : Op.Subtract, left.node, right.node),
    left.dimension,
    point === left.point || point === right.point ? (unit && unit.isPoint !== point ? null : unit) : null,
    point,
  );
}

export function product(
  elaborator: Elaboration,
  operator: '*' | '/',
  left: Quantity,
  right: Quantity,
  leftId: number,
  rightId: number,
): Value {
  if (left.point) return elaborator.problem('point-in-product', leftId);
  if (right.point) return elaborator.problem('point-in-product', rightId);
  const dimension =
    operator === '*' ? multiply(left.dimension, right.dimension) : divide(left.dimension, right.dimension);
  const kept = right.dimension === DIMENSIONLESS && left.unit?.sense !== 'angular' ? left.unit : null;
  const unit =
    right.dimension === DIMENSIONLESS ? kept : operator === '*' && left.dimension === DIMENSIONLESS ? right.unit : null;
  return elaborator.quantity(
    elaborator.builder.node(operator === '*' ? Op.Multiply : Op.Divide, left.node, right.node),
    dimension,
    dimension === DIMENSIONLESS ? null : unit,
  );
}

export function raise(
  elaborator: Elaboration,
  base: Quantity,
  exponent: Quantity,
  id: number,
  exponentId: number,
): Value {
  if (base.point) return elaborator.problem('point-in-product', id);
  if (exponent.dimension !== DIMENSIONLESS)
    return elaborator.problem('exponent-with-dimension', exponentId, { found: dimensionWords(exponent) });
  const value = elaborator.builder.value(exponent.node);
  const node =
    value === 2 && elaborator.builder.isConstant(exponent.node)
      ? elaborator.builder.node(Op.Square, base.node)
      : elaborator.builder.node(Op.Power, base.node, exponent.node);
  if (base.dimension === DIMENSIONLESS) return elaborator.quantity(node, DIMENSIONLESS);
  if (!elaborator.builder.isConstant(exponent.node)) elaborator.host.demands(exponent.node, value);
  const dimension = raised(base.dimension, value);
  return dimension
    ? elaborator.quantity(node, dimension)
    : elaborator.problem('exponent-not-rational', exponentId, { found: dimensionWords(base) });
}

/** A dimension to a power that somebody wrote; null where that is none. */
export function raised(base: Dimension, exponent: number): Dimension | null {
  const ratio = rational(exponent);
  return ratio && canRaise(base, ...ratio) ? power(base, ...ratio) : null;
}

export function rangeBetween(elaborator: Elaboration, low: Quantity, high: Quantity, id: number): Value {
  if (low.dimension !== high.dimension || low.point !== high.point)
    return elaborator.problem('range-ends-differ', id, { left: dimensionWords(low), right: dimensionWords(high) });
  const { builder } = elaborator;
  if (builder.value(low.node) > builder.value(high.node)) {
    // A sweep that is written downward would run over nothing, or take its upper end for its lower.
    for (const { node } of [low, high]) elaborator.demand(node);
    return elaborator.problem('range-downward', id, {
      low: printQuantity(builder.value(high.node), high.dimension, high.unit, high.point, null),
      high: printQuantity(builder.value(low.node), low.dimension, low.unit, low.point, null),
    });
  }
  if (!builder.isConstant(low.node)) elaborator.demand(low.node);
  if (!builder.isConstant(high.node)) elaborator.demand(high.node);
  return { kind: 'range', low, high };
}

export function vectorOperation(
  elaborator: Elaboration,
  operator: BinaryOperator,
  left: Value,
  right: Value,
  id: number,
): Value {
  if (left.kind === 'vector' && right.kind === 'vector') {
    if (operator !== '+' && operator !== '-') return elaborator.problem('vector-operator', id, { operator });
    if (left.dimension !== right.dimension)
      return elaborator.problem(operator === '+' ? 'cannot-add' : 'cannot-subtract', id, {
        left: dimensionName(left.dimension),
        right: dimensionName(right.dimension),
      });
    const op = operator === '+' ? Op.Add : Op.Subtract;
    return elaborator.vector(
      left.nodes.map((node, i) => elaborator.builder.node(op, node, right.nodes[i]!)),
      left.dimension,
      left.unit,
    );
  }
  const [vector, other] = left.kind === 'vector' ? [left, right] : [right as Vector, left];
  if (
    other.kind !== 'quantity' ||
    (operator !== '*' && operator !== '/') ||
    (operator === '/' && left.kind !== 'vector')
  )
    return elaborator.problem('vector-operator', id, { operator });
  const dimension =
    operator === '*' ? multiply(vector.dimension, other.dimension) : divide(vector.dimension, other.dimension);
  const op = operator === '*' ? Op.Multiply : Op.Divide;
  return elaborator.vector(
    vector.nodes.map(node => elaborator.builder.node(op, node, other.node)),
    dimension,
    other.dimension === DIMENSIONLESS ? vector.unit : null,
  );
}

/** `x` as a fraction with a small denominator, or null. */
function rational(x: number): [number, number] | null {
  for (let den = 1; den <= 12; den++) {
    const num = Math.round(x * den);
    if (Math.abs(num / den - x) < 1e-12) return [num, den];
  }
  return null;
}
