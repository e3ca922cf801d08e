/** Texts with values in them. */
import type { Expression } from '../../model/expression.js';
import { printQuantity } from '../values/describe.js';
import type { Elaboration, Environment } from './elaboration.js';
import type { Value } from '../values/value.js';
import { readUnit } from './quantities.js';

/** Accents have one spelling in what is compared; paths keep theirs, which are read elsewhere. */
export function printText(
  elaborator: Elaboration,
  segments: readonly (
    string | { readonly value: Expression; readonly unitText: string | null; readonly digits: number | null }
  )[],
  env: Environment | null,
): string {
  return segments
    .map(segment =>
      typeof segment === 'string' ? segment : print(elaborator, elaborator.expression(segment.value, env), segment),
    )
    .join('')
    .normalize('NFC');
}

function print(
  elaborator: Elaboration,
  value: Value,
  how: { readonly unitText: string | null; readonly digits: number | null; readonly value: Expression },
): string {
  switch (value.kind) {
    case 'quantity': {
      const unit = how.unitText ? readUnit(elaborator, how.unitText, how.value.id) : value.unit;
      elaborator.host.demands(value.node, elaborator.builder.value(value.node));
      return printQuantity(elaborator.builder.value(value.node), value.dimension, unit, value.point, how.digits);
    }
    case 'text':
    case 'date':
      return value.text;
    case 'truth':
      return elaborator.builder.value(value.node) === 1 ? 'true' : 'false';
    case 'entity':
      return value.entity.name;
    case 'load':
      return value.name;
    case 'list':
      return value.items.map(item => print(elaborator, item, how)).join(', ');
    default:
      return '?';
  }
}
