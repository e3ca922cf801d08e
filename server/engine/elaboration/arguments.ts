/** What built-in functions are given. */
import type { Call } from '../../model/expression.js';
import { dimensionWords } from '../values/describe.js';
import { describeKind, isPoison, type Quantity, type Value } from '../values/value.js';
import type { Elaboration, Environment } from './elaboration.js';
import { unlikeRates } from './rates.js';

/** Arguments that are given by position alone; null where they are wrong or undetermined. */
export function positional(
  elaborator: Elaboration,
  call: Call,
  env: Environment | null,
  count: number,
  name: string,
): Value[] | null {
  if (call.arguments.length !== count || call.arguments.some(argument => argument.form !== 'positional')) {
    elaborator.problem('argument-count', call.id, {
      name,
      wanted: String(count),
      found: String(call.arguments.length),
    });
    return null;
  }
  const values = call.arguments.map(argument => elaborator.expression(argument.value, env));
  return values.some(isPoison) ? null : values;
}

export function quantityAt(elaborator: Elaboration, value: Value, id: number): Quantity | null {
  if (value.kind === 'quantity') return value;
  if (!isPoison(value)) elaborator.problem('number-expected', id, { found: describeKind(value) });
  return null;
}

export function sameDimension(
  elaborator: Elaboration,
  values: readonly { value: Value; id: number }[],
): Quantity[] | null {
  const quantities: Quantity[] = [];
  for (const { value, id } of values) {
    const quantity = quantityAt(elaborator, value, id);
    if (!quantity) return null;
    const first = quantities[0];
    if (first && (first.dimension !== quantity.dimension || first.point !== quantity.point)) {
      elaborator.problem('cannot-add', id, { left: dimensionWords(first), right: dimensionWords(quantity) });
      return null;
    }
    if (first && unlikeRates(elaborator, first, quantity, id)) return null;
    quantities.push(quantity);
  }
  return quantities;
}
