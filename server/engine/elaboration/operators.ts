/** Operators: which of them means what between two values. */
import type { BinaryOperator, Comparison } from '../../model/expression.js';
import { isLoad } from '../values/describe.js';
import type { Elaboration } from './elaboration.js';
import { combined, loadTerm } from './loads.js';
import { Op } from '../operations/op.js';
import { describeKind, isPoison, POISON, type Value } from '../values/value.js';
import { product, raise, rangeBetween, sum, vectorOperation } from './arithmetic.js';
import { comparison, logical } from './conditions.js';

const COMPARISONS: ReadonlySet<string> = new Set(['<=', '>=', '<', '>', '==', '!=']);

export function unary(elaborator: Elaboration, operator: '-' | '+' | 'not', operand: Value, id: number): Value {
  if (isPoison(operand)) return operand;
  if (operator === 'not') {
    if (operand.kind !== 'truth') return elaborator.problem('condition-expected', id, { found: describeKind(operand) });
    const node = elaborator.builder.node(Op.Not, operand.node);
    return elaborator.truth(node, { kind: 'boolean', node });
  }
  if (operand.kind === 'vector')
    return operator === '+'
      ? operand
      : {
          ...operand,
          nodes: operand.nodes.map(node => elaborator.builder.node(Op.Negate, node)) as unknown as [
            number,
            number,
            number,
          ],
        };
  if (operand.kind !== 'quantity') return elaborator.problem('number-expected', id, { found: describeKind(operand) });
  if (operator === '+') return operand;
  if (operand.point) return elaborator.problem('point-negated', id);
  return elaborator.quantity(elaborator.builder.node(Op.Negate, operand.node), operand.dimension, operand.unit);
}

export function binary(
  elaborator: Elaboration,
  operator: BinaryOperator,
  left: Value,
  right: Value,
  id: number,
  leftId: number,
  rightId: number,
): Value {
  if (operator === 'and' || operator === 'or') return logical(elaborator, operator, left, right, id);
  if (isPoison(left)) return left;
  if (isPoison(right)) return right;
  if (COMPARISONS.has(operator))
    return comparison(elaborator, operator as Comparison, left, right, id, leftId, rightId);
  if (operator === '+' && isLoad(left) && isLoad(right)) {
    const [first, second] = [loadTerm(elaborator, left, leftId), loadTerm(elaborator, right, rightId)];
    return (first && second && combined(elaborator, 'sum', [first, second], id)) ?? POISON;
  }
  if (left.kind === 'vector' || right.kind === 'vector') return vectorOperation(elaborator, operator, left, right, id);
  if (left.kind === 'range' || right.kind === 'range')
    return elaborator.problem('range-in-arithmetic', id, { operator });
  if (left.kind === 'any-direction' || right.kind === 'any-direction')
    return elaborator.problem('range-in-arithmetic', id, { operator });
  if (left.kind !== 'quantity') return elaborator.problem('number-expected', leftId, { found: describeKind(left) });
  if (right.kind !== 'quantity') return elaborator.problem('number-expected', rightId, { found: describeKind(right) });
  switch (operator) {
    case '+':
    case '-':
      return sum(elaborator, operator, left, right, id);
    case '*':
    case '/':
      return product(elaborator, operator, left, right, leftId, rightId);
    case '^':
      return raise(elaborator, left, right, id, rightId);
    case '..':
      return rangeBetween(elaborator, left, right, id);
    default:
      return POISON;
  }
}
