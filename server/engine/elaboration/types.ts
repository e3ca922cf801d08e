/** Types of parameters and results: the dimension that a type asks for, and whether a value has it. */
import { PARAMETER_TYPES, type FindingCode } from '../../language/index.js';
import type { Item, Parameter, TypeExpression, ValueItem } from '../../model/declaration.js';
import {
  dimensionName,
  DIMENSIONLESS,
  multiply,
  parseDimension,
  TEMPERATURE,
  type Dimension,
} from '../../units/index.js';
import type { Entity } from '../../model/namespace.js';
import { dimensionWords } from '../values/describe.js';
import type { Elaboration } from './elaboration.js';
import { raised } from './arithmetic.js';
import { unlikeParameter } from './rates.js';
import { describeKind, isPoison, POISON, type Value } from '../values/value.js';
import { declared } from '../../model/statements.js';

/** The dimension that a type asks for; a word (`text`, `table`, …) for what has none; null when it is no known type. */
function dimensionOf(
  elaborator: Elaboration,
  type: TypeExpression,
  item: Item,
): { dimension: Dimension; point: boolean | null } | string | null {
  if (type.kind !== 'product') return type.kind;
  if (type.terms.length === 1 && type.terms[0]!.exponent === 1) {
    const { name } = type.terms[0]!;
    if (name === 'temperature') return { dimension: TEMPERATURE, point: true };
    if (name === 'temperature_difference') return { dimension: TEMPERATURE, point: false };
    if (PARAMETER_TYPES.has(name)) return name;
  }
  const problem = (code: FindingCode, id: number, data: Readonly<Record<string, string>>): null => {
    elaborator.inItem(item, elaborator.scope, () => elaborator.problem(code, id, data));
    return null;
  };
  let dimension = DIMENSIONLESS;
  for (const { id, name, exponent } of type.terms) {
    const base = parseDimension(name);
    if (!base) return problem('unknown-type', id, { name });
    const factor = raised(base, exponent);
    if (!factor) return problem('exponent-not-rational', id, { found: name });
    dimension = multiply(dimension, factor);
  }
  return { dimension, point: null };
}

/**
 * A value of which only the type is known: what an uncalled formula or a kind is checked with, or what an instance
 * lacks (`data` names it).
 */
export function typed(
  elaborator: Elaboration,
  type: TypeExpression | null,
  id: number,
  data: Readonly<Record<string, string>> = {},
): Value {
  const wanted = type ? dimensionOf(elaborator, type, elaborator.item) : null;
  if (!wanted || typeof wanted === 'string')
    return wanted === 'text' ? { kind: 'text', text: '', typed: true } : POISON;
  return elaborator.quantity(
    elaborator.builder.undetermined('only-a-type', data, { owner: elaborator.item, id }),
    wanted.dimension,
    null,
    wanted.point ?? false,
  );
}

const NO_QUANTITY: ReadonlySet<Value['kind']> = new Set(['text', 'truth', 'date', 'entity']);

const quantityWords = (dimension: Dimension): string =>
  dimension === DIMENSIONLESS ? 'a plain number' : `a quantity of ${dimensionName(dimension)}`;

/** What an instance gives its kind under a name, or what is wrong with it, told where the instance gives it. */
export function asGiven(elaborator: Elaboration, instance: Entity, name: string, value: Value): Value {
  const given = instance.base && declared(instance.base, 'kind').given.find(parameter => parameter.name === name);
  const item = given && elaborator.host.itemOf(instance, name)?.item;
  if (!given?.type || !item || isPoison(value)) return value;
  const { type } = given;
  const wanted = elaborator.quietly(() => dimensionOf(elaborator, type, item));
  if (wanted === null) return value;
  const wrong = (words: string, found: string): Value =>
    elaborator.inItem(item, instance, () =>
      elaborator.problem('field-dimension', item.value.id, {
        field: name,
        wanted: words,
        found,
        kind: instance.base!.name,
      }),
    );
  if (typeof wanted === 'string') {
    if (wanted !== 'text') return value;
    return value.kind === 'text' ? { ...value, given: { instance, item } } : wrong('a text', describeKind(value));
  }
  const { dimension, point } = wanted;
  if (value.kind === 'quantity' && item.value.kind === 'tbd' && item.value.unitText === null)
    return elaborator.quantity(value.node, dimension, null, point ?? false);
  // A list, a table or a formula of such quantities may be meant.
  if (NO_QUANTITY.has(value.kind)) return wrong(quantityWords(dimension), describeKind(value));
  if (value.kind !== 'quantity') return value;
  return value.dimension === dimension ? value : wrong(quantityWords(dimension), dimensionWords(value));
}

export function checkArgument(
  elaborator: Elaboration,
  value: Value,
  parameter: Parameter,
  id: number,
  item: ValueItem,
): Value {
  if (!parameter.type || isPoison(value)) return value;
  const wanted = dimensionOf(elaborator, parameter.type, item);
  if (wanted === null) return value;
  if (typeof wanted === 'string') return value;
  if (value.kind === 'vector' && value.dimension === wanted.dimension) return value;
  if (value.kind !== 'quantity')
    return elaborator.problem('argument-dimension', id, {
      name: parameter.name,
      of: item.name,
      wanted: dimensionName(wanted.dimension),
      found: describeKind(value),
    });
  if (value.dimension !== wanted.dimension)
    return elaborator.problem('argument-dimension', id, {
      name: parameter.name,
      of: item.name,
      wanted: dimensionName(wanted.dimension),
      found: dimensionWords(value),
    });
  if (wanted.dimension === TEMPERATURE && wanted.point !== null && value.point !== wanted.point)
    return elaborator.problem(wanted.point ? 'difference-where-point' : 'point-where-difference', id, {});
  const { type } = parameter;
  const typeName = type.kind === 'product' && type.terms.length === 1 ? type.terms[0]!.name : '';
  return unlikeParameter(elaborator, value, typeName, id) ?? value;
}

export function checkResult(elaborator: Elaboration, value: Value, type: TypeExpression, item: ValueItem): Value {
  const wanted = dimensionOf(elaborator, type, item);
  if (wanted === null || typeof wanted === 'string' || value.kind !== 'quantity') return value;
  if (value.dimension !== wanted.dimension)
    return elaborator.problem('result-dimension', item.value.id, {
      name: item.name,
      wanted: dimensionName(wanted.dimension),
      found: dimensionWords(value),
    });
  return value;
}
