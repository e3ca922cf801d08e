/**
 * Cycles in a history of loads by the rainflow method of ASTM E1049-85 (reapproved 2017), section 5.4.4: closed ranges
 * count as one cycle, what is left over as halves.
 */
import { DIMENSIONLESS } from '../../units/index.js';
import { sameDimension } from './arguments.js';
import { Op } from '../operations/op.js';
import { describeKind, isPoison, POISON, type Quantity, type Value } from '../values/value.js';
import type { BuiltinFunction, Elaboration } from './elaboration.js';

interface Cycle {
  readonly from: Quantity;
  readonly to: Quantity;
  readonly count: number;
}
interface Turn {
  readonly quantity: Quantity;
  readonly value: number;
}

export const rainflow: BuiltinFunction = {
  signature: 'rainflow(history)',
  doc: 'The cycles in a history of loads, by the rainflow method of ASTM E1049: a list of records with `range`, `mean` and `count` (1, or 0.5 for a half cycle).',
  call: (elaborator, call, env) => {
    const [argument] = call.arguments;
    if (call.arguments.length !== 1 || argument!.form !== 'positional')
      return elaborator.problem('argument-count', call.id, {
        name: 'rainflow',
        wanted: '1',
        found: String(call.arguments.length),
      });
    const { id } = argument!.value;
    const history = elaborator.expression(argument!.value, env);
    if (isPoison(history)) return history;
    if (history.kind !== 'list') return elaborator.problem('not-a-list', id, { found: describeKind(history) });
    const quantities = sameDimension(
      elaborator,
      history.items.map(value => ({ value, id })),
    );
    if (!quantities) return POISON;
    const values = quantities.map(quantity => ({ quantity, value: elaborator.demand(quantity.node) }));
    if (values.some(({ value }) => Number.isNaN(value))) return elaborator.problem('history-undetermined', id);
    return { kind: 'list', items: cyclesIn(turnsOf(values)).map(cycle => recordOf(elaborator, cycle)) };
  },
};

/** Peaks and valleys, the ends among them. */
function turnsOf(history: readonly Turn[]): Turn[] {
  const turns: Turn[] = [];
  for (const turn of history) {
    const [before, last] = [turns.at(-2), turns.at(-1)];
    if (last && last.value === turn.value) continue;
    const goesOn = before && last && last.value > before.value === turn.value > last.value;
    if (goesOn) turns.pop();
    turns.push(turn);
  }
  return turns;
}

function cyclesIn(turns: readonly Turn[]): Cycle[] {
  const cycles: Cycle[] = [];
  const left: Turn[] = [];
  const size = (x: Turn, y: Turn): number => Math.abs(x.value - y.value);
  const take = (from: Turn, to: Turn, count: number): void =>
    void cycles.push({ from: from.quantity, to: to.quantity, count });
  for (const turn of turns) {
    left.push(turn);
    for (let n = left.length; n >= 3; n = left.length) {
      const [start, middle, end] = [left[n - 3]!, left[n - 2]!, left[n - 1]!];
      if (size(middle, end) < size(start, middle)) break;
      // The range that holds the beginning of the history is half a cycle.
      take(start, middle, n === 3 ? 0.5 : 1);
      left.splice(n - 3, n === 3 ? 1 : 2);
    }
  }
  left.slice(1).forEach((turn, i) => take(left[i]!, turn, 0.5));
  return cycles;
}

function recordOf(elaborator: Elaboration, { from, to, count }: Cycle): Value {
  const { builder } = elaborator;
  const difference = builder.node(Op.Subtract, to.node, from.node);
  const half = builder.node(Op.Multiply, builder.constant(0.5), difference);
  return {
    kind: 'record',
    entries: new Map<string, Value>([
      ['range', elaborator.quantity(builder.node(Op.Absolute, difference), from.dimension)],
      ['mean', { ...from, node: builder.node(Op.Add, from.node, half) }],
      ['count', elaborator.quantity(builder.constant(count), DIMENSIONLESS)],
    ]),
  };
}
