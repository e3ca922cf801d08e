/** Conditions: comparisons, chains of them, `and` and `or`, and what is chosen by a condition. */
import type { Comparison, Expression } from '../../model/expression.js';
import { DIMENSIONLESS } from '../../units/index.js';
import { dimensionWords } from '../values/describe.js';
import type { Builder } from '../values/builder.js';
import type { Elaboration, Environment } from './elaboration.js';
import { Op } from '../operations/op.js';
import { unlikeRates } from './rates.js';
import { describeKind, isPoison, POISON, type Condition, type Truth, type Value } from '../values/value.js';

const REVERSED: Readonly<Record<Comparison, Comparison>> = {
  '<=': '>=',
  '>=': '<=',
  '<': '>',
  '>': '<',
  '==': '==',
  '!=': '!=',
};

export function logical(elaborator: Elaboration, operator: 'and' | 'or', left: Value, right: Value, id: number): Value {
  // One side that is wrong leaves the other's errors to be found, and the whole undetermined.
  if (isPoison(left)) return left;
  if (isPoison(right)) return right;
  if (left.kind !== 'truth' || right.kind !== 'truth')
    return elaborator.problem('condition-expected', id, { found: describeKind(left.kind === 'truth' ? right : left) });
  return lazyTruth(
    elaborator.builder,
    () => elaborator.builder.node(operator === 'and' ? Op.And : Op.Or, left.node, right.node),
    {
      kind: operator,
      parts: [left, right].map(side => side.condition ?? { kind: 'boolean' as const, node: side.node }),
    },
  );
}

export function comparison(
  elaborator: Elaboration,
  operator: Comparison,
  leftSide: Value,
  rightSide: Value,
  id: number,
  leftId: number,
  rightId: number,
): Value {
  const left = decisiveEnd(leftSide, operator);
  const right = decisiveEnd(rightSide, REVERSED[operator]);
  if (left.kind === 'quantity' && right.kind === 'quantity') {
    if (left.dimension !== right.dimension)
      return elaborator.problem('cannot-compare', id, {
        left: dimensionWords(left),
        right: dimensionWords(right),
        operator,
      });
    if (left.point !== right.point)
      return elaborator.problem(
        left.point ? 'difference-where-point' : 'point-where-difference',
        left.point ? rightId : leftId,
        {},
      );
    const unlike = unlikeRates(elaborator, left, right, id);
    if (unlike) return unlike;
    if ((operator === '==' || operator === '!=') && left.dimension !== DIMENSIONLESS)
      elaborator.problem('equality-of-quantities', id, {});
    const condition: Condition = { kind: 'compare', operator, left, right, leftId, rightId };
    return lazyTruth(elaborator.builder, () => compareNumbers(elaborator, operator, left.node, right.node), condition);
  }
  if (operator !== '==' && operator !== '!=') {
    if (left.kind === 'date' && right.kind === 'date')
      return elaborator.truth(elaborator.builder.constant(compareText(operator, left.text, right.text) ? 1 : 0));
    const wrong = left.kind === 'quantity' ? right : left;
    return elaborator.problem('number-expected', wrong === left ? leftId : rightId, { found: describeKind(wrong) });
  }
  const same = sameThing(left, right);
  if (same === undefined)
    return elaborator.problem('cannot-compare-kinds', id, { left: describeKind(left), right: describeKind(right) });
  return elaborator.truth(elaborator.builder.constant(same === (operator === '==') ? 1 : 0));
}

function compareNumbers(elaborator: Elaboration, operator: Comparison, left: number, right: number): number {
  switch (operator) {
    case '<=':
      return elaborator.builder.node(Op.LessEqual, left, right);
    case '>=':
      return elaborator.builder.node(Op.LessEqual, right, left);
    case '<':
      return elaborator.builder.node(Op.Less, left, right);
    case '>':
      return elaborator.builder.node(Op.Less, right, left);
    case '==':
      return elaborator.builder.node(Op.Equal, left, right);
    case '!=':
      return elaborator.builder.node(Op.Not, elaborator.builder.node(Op.Equal, left, right));
  }
}

/** `2 mm <= t < 5 mm`. */
export function chain(
  elaborator: Elaboration,
  operators: readonly Comparison[],
  operands: readonly Value[],
  id: number,
  expressions: readonly Expression[],
): Value {
  const parts = operators.map((operator, i) =>
    comparisonOrPoison(
      elaborator,
      operator,
      operands[i]!,
      operands[i + 1]!,
      id,
      expressions[i]!.id,
      expressions[i + 1]!.id,
    ),
  );
  const poisoned = parts.find(isPoison);
  if (poisoned) return poisoned;
  const truths = parts as Truth[];
  const rising = operators.every(operator => operator === '<=' || operator === '<');
  const falling = operators.every(operator => operator === '>=' || operator === '>');
  if (!rising && !falling) return elaborator.problem('chain-changes-direction', id);
  return lazyTruth(
    elaborator.builder,
    () => truths.map(truth => truth.node).reduce((all, next) => elaborator.builder.node(Op.And, all, next)),
    { kind: 'range', parts: truths.map(truth => truth.condition!) },
  );
}

function comparisonOrPoison(
  elaborator: Elaboration,
  operator: Comparison,
  left: Value,
  right: Value,
  id: number,
  leftId: number,
  rightId: number,
): Value {
  return isPoison(left)
    ? left
    : isPoison(right)
      ? right
      : comparison(elaborator, operator, left, right, id, leftId, rightId);
}

export function conditional(
  elaborator: Elaboration,
  condition: Expression,
  yes: Expression,
  no: Expression,
  id: number,
  env: Environment | null,
): Value {
  const test = elaborator.expression(condition, env);
  const first = elaborator.expression(yes, env);
  const second = elaborator.expression(no, env);
  if (isPoison(test)) return test;
  if (test.kind !== 'truth')
    return elaborator.problem('condition-expected', condition.id, { found: describeKind(test) });
  if (first.kind === 'quantity' && second.kind === 'quantity') {
    if (first.dimension !== second.dimension || first.point !== second.point)
      return elaborator.problem('branches-differ', id, { left: dimensionWords(first), right: dimensionWords(second) });
    return elaborator.quantity(
      select(elaborator, test.node, first.node, second.node),
      first.dimension,
      first.unit ?? second.unit,
      first.point,
    );
  }
  if (first.kind === 'truth' && second.kind === 'truth') {
    const node = select(elaborator, test.node, first.node, second.node);
    return elaborator.truth(node, { kind: 'boolean', node });
  }
  const value = elaborator.demand(test.node);
  return value === 1 ? first : value === 0 ? second : POISON;
}

function select(elaborator: Elaboration, condition: number, yes: number, no: number): number {
  return elaborator.builder.node(Op.Select, condition, yes, no);
}

/** A check reads the sides of its comparison; a number for its truth is made only for what reads that. */
function lazyTruth(builder: Builder, make: () => number, condition: Condition): Truth {
  let [node, made] = [-1, -1];
  return {
    kind: 'truth',
    condition,
    get node() {
      // What was made while looking ahead was taken back.
      if (made !== builder.takenBack) [node, made] = [make(), builder.takenBack];
      return node;
    },
  };
}

/** A whole range is at most something when its upper end is. */
function decisiveEnd(value: Value, operator: Comparison): Value {
  if (value.kind === 'any-direction') return value.magnitude;
  if (value.kind !== 'range') return value;
  return operator === '<=' || operator === '<' ? value.high : operator === '>=' || operator === '>' ? value.low : value;
}

function sameThing(x: Value, y: Value): boolean | undefined {
  if (x.kind === 'text' && y.kind === 'text') return x.text === y.text;
  if (x.kind === 'date' && y.kind === 'date') return x.text === y.text;
  if (x.kind === 'entity' && y.kind === 'entity') return x.entity === y.entity;
  return undefined;
}

function compareText(operator: Comparison, x: string, y: string): boolean {
  return operator === '<=' ? x <= y : operator === '>=' ? x >= y : operator === '<' ? x < y : x > y;
}
