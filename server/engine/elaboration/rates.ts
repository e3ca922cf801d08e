/** Angle per time and cycles per time have one dimension and differ by 2π: they meet only by conversion. */
import { FREQUENCY } from '../../units/index.js';
import type { Elaboration } from './elaboration.js';
import type { Poison, Quantity } from '../values/value.js';

type Rate = 'angle' | 'cycles';

/** What a rate counts, as far as its unit tells; null for `1/s`, and for what was calculated. */
function rateOf({ dimension, unit }: Quantity): Rate | null {
  if (dimension !== FREQUENCY || !unit) return null;
  if (unit.sense === 'angular') return 'angle';
  return unit.symbol.endsWith('Hz') ? 'cycles' : null;
}

/** Reports where one of two counts angles and the other cycles; null where they go together. */
export function unlikeRates(elaborator: Elaboration, left: Quantity, right: Quantity, id: number): Poison | null {
  const [first, second] = [rateOf(left), rateOf(right)];
  if (first === null || second === null || first === second) return null;
  return elaborator.problem('angle-against-cycles', id, { left: left.unit!.symbol, right: right.unit!.symbol });
}

/** Reports an argument that counts the other of the two than its parameter is declared to. */
export function unlikeParameter(elaborator: Elaboration, value: Quantity, typeName: string, id: number): Poison | null {
  const wanted: Rate | null = typeName === 'frequency' ? 'cycles' : typeName === 'angular_speed' ? 'angle' : null;
  const given = rateOf(value);
  if (wanted === null || given === null || wanted === given) return null;
  return elaborator.problem('angle-against-cycles', id, {
    left: value.unit!.symbol,
    right: wanted === 'cycles' ? 'Hz' : 'rad/s',
  });
}
