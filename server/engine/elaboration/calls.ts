/** Calls: what is called, the arguments of a formula, and its body put in their place. */
import type { ValueItem } from '../../model/declaration.js';
import type { Call, Expression } from '../../model/expression.js';
import { BUILTINS } from './builtins.js';
import type { Elaboration, Environment } from './elaboration.js';
import { Op } from '../operations/op.js';
import { describeKind, isPoison, mapNodes, type FormulaValue, type Place, type Value } from '../values/value.js';
import { RESULT_ROWS, resultCall } from './results.js';
import { annotated } from './structures.js';
import { callTable } from './tables.js';
import { checkArgument, checkResult } from './types.js';
import { columnsOf } from '../../model/statements.js';

export function call(elaborator: Elaboration, e: Call, env: Environment | null): Value {
  const callee = elaborator.expression(e.callee, env);
  switch (callee.kind) {
    case 'poison':
      return callee;
    case 'formula':
      return callFormula(elaborator, callee, e, env);
    case 'builtin':
      return BUILTINS.get(callee.name)!.call(elaborator, e, env);
    case 'table':
      return callTable(elaborator, callee, e, env);
    case 'record':
      if (callee.entries.has(RESULT_ROWS)) return resultCall(elaborator, callee, e, env);
      break;
    case 'entity': {
      const table =
        callee.entity.kind === 'table' && callee.entity.declaration.value && columnsOf(callee.entity).length === 0
          ? elaborator.host.read(callee.entity, callee.entity.declaration.value)
          : null;
      if (table?.kind === 'table') return callTable(elaborator, table, e, env);
      if (table && isPoison(table)) return table;
      break;
    }
    case 'quantity': {
      const name = sourceName(e.callee);
      return elaborator.problem('quantity-called', e.id, { name });
    }
  }
  return elaborator.problem('not-callable', e.id, {
    found: describeKind(callee),
    members: callee.kind === 'record' ? [...callee.entries.keys()].join(', ') : '',
  });
}

function callFormula(elaborator: Elaboration, formula: FormulaValue, e: Call, env: Environment | null): Value {
  const { item } = formula;
  const parameters = item.parameters!;
  const bound = new Map<string, Value>();
  let position = 0;
  for (const argument of e.arguments) {
    const parameter =
      argument.form === 'named'
        ? parameters.find(candidate => candidate.name === argument.name)
        : argument.form === 'positional'
          ? parameters[position++]
          : undefined;
    if (!parameter) {
      elaborator.expression(argument.value, env);
      return argument.form === 'named'
        ? elaborator.problem('unknown-argument', argument.id, {
            name: argument.name ?? '',
            known: parameters.map(candidate => candidate.name).join(', '),
          })
        : elaborator.problem('argument-count', e.id, {
            name: item.name,
            wanted: String(parameters.length),
            found: String(e.arguments.length),
          });
    }
    if (bound.has(parameter.name)) return elaborator.problem('argument-twice', argument.id, { name: parameter.name });
    const value = elaborator.expression(argument.value, env);
    bound.set(parameter.name, checkArgument(elaborator, value, parameter, argument.value.id, item));
  }
  return inline(elaborator, formula, bound, e.id);
}

/** Elaborates the body with its parameters bound, in the scope where it was written. */
export function inline(
  elaborator: Elaboration,
  formula: FormulaValue,
  bound: ReadonlyMap<string, Value>,
  callId: number,
): Value {
  const { item, scope } = formula;
  if (!elaborator.mayCall(item)) return elaborator.problem('recursive-formula', callId, { name: item.name });
  let env: Environment | null = null;
  for (const parameter of item.parameters!) {
    const value =
      bound.get(parameter.name) ??
      (parameter.default
        ? elaborator.inItem(item, scope, () => elaborator.expression(parameter.default!, env))
        : undefined);
    if (value === undefined)
      return elaborator.problem('argument-missing', callId, { name: parameter.name, of: item.name });
    env = { name: parameter.name, value, parent: env };
  }
  const place: Place = { owner: elaborator.item, id: callId };
  return elaborator.inCall(item, scope, callId, () => {
    const value = annotated(elaborator.expression(item.value, env), item.annotations);
    const checked = item.type ? checkResult(elaborator, value, item.type, item) : value;
    return item.conditions.reduce(
      (kept, condition) => requireCondition(elaborator, kept, condition, env, item, place),
      checked,
    );
  });
}

/** Outside its validity a formula has no value: the call is undetermined and says so. */
function requireCondition(
  elaborator: Elaboration,
  value: Value,
  condition: Expression,
  env: Environment | null,
  item: ValueItem,
  place: Place,
): Value {
  const holds = elaborator.expression(condition, env);
  if (holds.kind !== 'truth' || isPoison(value)) return value;
  const invalid = (): number =>
    elaborator.builder.sharedUndetermined('formula-outside-validity', { name: item.name }, place);
  const { builder } = elaborator;
  const fixed = builder.isConstant(holds.node) ? builder.peek(holds.node) : null;
  if (fixed === 1) return value;
  if (fixed === null || !elaborator.trying)
    elaborator.guarded.push({
      node: holds.node,
      place,
      formula: item.name,
      condition: { owner: item, id: condition.id },
    });
  const guard = (node: number): number => builder.node(Op.Select, holds.node, node, invalid());
  return mapNodes(value, guard);
}

function sourceName(e: Expression): string {
  return e.kind === 'name' ? e.name : e.kind === 'member' ? `${sourceName(e.receiver)}.${e.name}` : 'this value';
}
