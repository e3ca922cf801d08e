/** `fold(for total from 0 N, row in rows: total + row.load)`: a state that each case takes on to the next. */
import type { Argument, Call } from '../../model/expression.js';
import type { BuiltinFunction, Elaboration, Environment } from './elaboration.js';
import { describeKind, isPoison, POISON, type Value } from '../values/value.js';
import { dimensionWords } from '../values/describe.js';
import { isKept, sweep } from './sweeps.js';

export const fold: BuiltinFunction = {
  signature: 'fold(for state from start, x in xs: next)',
  doc: 'Takes a state through the cases in their order: what is calculated in one is the state of the next. A record is a state of several values.',
  call: (elaborator, call, env) => {
    const argument = foldArgument(elaborator, call);
    if (!argument) return POISON;
    const start = elaborator.expression(argument.binders[0]!.domain, env);
    return isPoison(start) ? start : folded(elaborator, call, argument, start, env);
  },
};

function foldArgument(elaborator: Elaboration, call: Call): Argument | null {
  const [argument] = call.arguments;
  const isFold = call.arguments.length === 1 && argument!.binders.length > 1 && argument!.binders[0]!.isState;
  if (isFold) return argument!;
  elaborator.problem('fold-expected', call.id);
  return null;
}

function folded(elaborator: Elaboration, call: Call, argument: Argument, start: Value, env: Environment | null): Value {
  const [state, ...binders] = argument.binders;
  const { instance } = elaborator;
  let reached = start;
  let cases = 0;
  const within = (inner: Environment | null): Environment => ({ name: state!.name, value: reached, parent: inner });
  const complete = sweep(
    elaborator,
    binders,
    env,
    inner => {
      const kept = keeps(elaborator, argument, within(inner));
      if (kept === null) reached = POISON;
      if (kept !== true) return;
      elaborator.instance = `${instance}/${argument.id}#${cases++}`;
      reached = next(elaborator, argument, reached, within(inner));
      elaborator.instance = instance;
    },
    inner => void elaborator.expression(argument.value, within(inner)),
  );
  if (complete && cases === 0 && reached === start) return elaborator.problem('empty-fold', call.id, { name: 'fold' });
  return complete ? reached : POISON;
}

/** Whether a case counts; null where nobody can tell. */
function keeps(elaborator: Elaboration, { condition }: Argument, env: Environment): boolean | null {
  return condition ? isKept(elaborator, elaborator.expression(condition, env), condition.id) : true;
}

/** The state behind a case. */
function next(elaborator: Elaboration, argument: Argument, reached: Value, env: Environment): Value {
  const value = elaborator.expression(argument.value, env);
  if (isPoison(reached)) return reached;
  if (isPoison(value) || isLike(reached, value)) return value;
  return elaborator.problem('state-changes', argument.value.id, {
    name: argument.binders[0]!.name,
    before: kindWords(reached),
    after: kindWords(value),
  });
}

/** Whether one may stand where the other does: of one kind and dimension, records with the same entries. */
function isLike(x: Value, y: Value): boolean {
  if (x.kind === 'quantity' || x.kind === 'vector')
    return y.kind === x.kind && y.dimension === x.dimension && isPoint(x) === isPoint(y);
  if (x.kind !== 'record' || y.kind !== 'record') return x.kind === y.kind;
  return (
    x.entries.size === y.entries.size &&
    [...x.entries].every(([name, value]) => {
      const other = y.entries.get(name);
      return other !== undefined && isLike(value, other);
    })
  );
}

function isPoint(value: Value): boolean {
  return value.kind === 'quantity' && value.point;
}

function kindWords(value: Value): string {
  if (value.kind === 'quantity') return dimensionWords(value);
  if (value.kind === 'record') return `a record of ${[...value.entries.keys()].join(', ')}`;
  return describeKind(value);
}
