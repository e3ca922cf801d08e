/** Quantities as they are written: numbers with units, tolerances, conversions, and what is to be determined. */
import { ON_UNITS, onName } from '../../model/dependency.js';
import type { Item } from '../../model/declaration.js';
import type { Expression } from '../../model/expression.js';
import type { Entity } from '../../model/namespace.js';
import { DIMENSIONLESS, dimensionName, isUnit, parseUnit, toSI, type Unit } from '../../units/index.js';
import { dimensionWords } from '../values/describe.js';
import type { Elaboration, Environment } from './elaboration.js';
import { Op } from '../operations/op.js';
import { dueBy } from '../values/words.js';
import { describeKind, isPoison, POISON, type Quantity, type Value } from '../values/value.js';

/** A number as written; a temperature is read as a difference where one is asked for. */
export function readNumber(
  elaborator: Elaboration,
  text: string,
  unitText: string | null,
  id: number,
  difference: boolean,
): Value {
  if (unitText === null) return elaborator.quantity(constant(elaborator, Number(text), id), DIMENSIONLESS);
  const unit = readUnit(elaborator, unitText, id);
  if (!unit) return POISON;
  return elaborator.quantity(
    constant(elaborator, toSI(unit, text, { difference }), id),
    unit.dimension,
    unit,
    unit.isPoint && !difference,
  );
}

function constant(elaborator: Elaboration, value: number, id: number): number {
  if (Number.isFinite(value)) return elaborator.builder.constant(value);
  elaborator.problem('number-out-of-range', id);
  return elaborator.builder.undetermined('number-out-of-range', {}, { owner: elaborator.item, id });
}

export function toBeDetermined(elaborator: Elaboration, unitText: string | null, id: number): Value {
  const { item } = elaborator;
  const unit = unitText === null ? null : readUnit(elaborator, unitText, id);
  if (unitText !== null && !unit) return POISON;
  const node = elaborator.builder.undetermined(
    'tbd',
    {
      what: [elaborator.scope.path, elaborator.item.name, ...elaborator.path].filter(Boolean).join('.'),
      ...dueOf(item),
    },
    { owner: elaborator.item, id },
  );
  return elaborator.quantity(node, unit?.dimension ?? DIMENSIONLESS, unit, unit?.isPoint ?? false);
}

/** Who is to determine a value, and by when. */
function dueOf(item: Item): Record<string, string> {
  if (!('annotations' in item)) return {};
  const { owner } = item.annotations;
  const due = dueBy(item.annotations);
  return { ...(owner ? { owner } : {}), ...(due ? { due } : {}) };
}

/** A unit of the tables or one that the project declares; reports and gives null where it is neither. */
export function readUnit(elaborator: Elaboration, text: string, id: number): Unit | null {
  const parsed = parseUnit(text);
  if (isUnit(parsed)) return parsed;
  elaborator.host.dependsOn(ON_UNITS);
  const declared = parseUnit(text, elaborator.host.units);
  if (isUnit(declared)) return declared;
  const name = text
    .split(/[*/^()]+/)
    .find(part => part !== '' && !isUnit(parseUnit(part, elaborator.host.units)) && sees(elaborator, part));
  if (name !== undefined && name !== text) {
    const spaced = text.replace(/[*/^]/g, ' $& ');
    elaborator.problem('unknown-unit', id, {
      unit: text,
      message: `${text} is read as one unit, and ${name} is a value here: put spaces round the operator, ${spaced}.`,
      suggestion: spaced,
    });
  } else
    elaborator.problem('unknown-unit', id, {
      unit: text,
      message: parsed.message,
      suggestion: parsed.suggestion ?? '',
    });
  return null;
}

/** Whether a value of this name can be seen from here. */
function sees(elaborator: Elaboration, name: string): boolean {
  elaborator.host.dependsOn(onName(name), elaborator.scope);
  for (let at: Entity | null = elaborator.scope; at; at = at.parent) if (elaborator.host.itemOf(at, name)) return true;
  return elaborator.host.itemOf(elaborator.host.namespace.root, name) !== undefined;
}

export function convert(elaborator: Elaboration, value: Value, unitText: string, id: number): Value {
  const unit = readUnit(elaborator, unitText, id);
  if (!unit || isPoison(value)) return isPoison(value) ? value : POISON;
  if (value.kind === 'vector' && value.dimension === unit.dimension) return { ...value, unit };
  if (value.kind !== 'quantity') return elaborator.problem('number-expected', id, { found: describeKind(value) });
  if (value.dimension !== unit.dimension)
    return elaborator.problem('cannot-convert', id, {
      found: dimensionWords(value),
      unit: unitText,
      wanted: dimensionName(unit.dimension),
    });
  if (value.unit?.sense === 'angular' && unit.sense !== 'angular' && unit.dimension !== DIMENSIONLESS)
    return elaborator.problem('angular-as-frequency', id, { from: value.unit.symbol, to: unitText });
  if (value.point !== unit.isPoint) {
    if (!value.point) return { ...value, unit: { ...unit, isPoint: false } };
    return elaborator.problem('point-as-difference', id, { unit: unitText });
  }
  return { ...value, unit };
}

export function tolerance(
  elaborator: Elaboration,
  e: Expression & { kind: 'tolerance' },
  env: Environment | null,
): Value {
  const nominal = elaborator.expression(e.nominal, env);
  if (isPoison(nominal)) return nominal;
  if (nominal.kind !== 'quantity')
    return elaborator.problem('number-expected', e.nominal.id, { found: describeKind(nominal) });
  const sides = [
    spread(elaborator, e.plus, e.signs[0], nominal, env),
    spread(elaborator, e.minus, e.signs[1], nominal, env),
  ];
  if (sides[0] === null || sides[1] === null) return POISON;
  const [above, below] = [sides[0]!, sides[1]!];
  if (elaborator.builder.value(below) > elaborator.builder.value(above))
    return elaborator.problem('limits-swapped', e.id);
  const { item, scope } = elaborator;
  const node = elaborator.builder.source(nominal.node, below, above, {
    kind: 'source',
    key: `${item.placement.file}:${item.placement.start}:${scope.key}:${item.name}:${e.id}${elaborator.instance}`,
    distribution: e.distribution,
    sigmas: e.sigmas,
    name: [scope.path, item.name].filter(Boolean).join('.'),
    swept: false,
    written: {
      place: { owner: item, id: e.id },
      quantity: { dimension: nominal.dimension, unit: nominal.unit, point: nominal.point },
    },
  });
  return elaborator.quantity(node, nominal.dimension, nominal.unit, nominal.point);
}

/** A tolerance as a signed difference; a percentage is relative to the nominal. */
function spread(
  elaborator: Elaboration,
  e: Expression,
  sign: number,
  nominal: Quantity,
  env: Environment | null,
): number | null {
  const value =
    e.kind === 'number' ? readNumber(elaborator, e.text, e.unitText, e.id, true) : elaborator.expression(e, env);
  if (isPoison(value)) return null;
  if (value.kind !== 'quantity') {
    elaborator.problem('number-expected', e.id, { found: describeKind(value) });
    return null;
  }
  // `0.16 ± 25 %` is relative; `10 % ± 5 %` is 5 to 15 %.
  const relative =
    value.dimension === DIMENSIONLESS &&
    (nominal.dimension !== DIMENSIONLESS || (value.unit !== null && nominal.unit === null));
  if (relative && nominal.point) {
    elaborator.problem('relative-tolerance-of-point', e.id);
    return null;
  }
  if (!relative && value.dimension !== nominal.dimension) {
    elaborator.problem('tolerance-dimension', e.id, { found: dimensionWords(value), wanted: dimensionWords(nominal) });
    return null;
  }
  const size = relative
    ? elaborator.builder.node(Op.Multiply, elaborator.builder.node(Op.Absolute, nominal.node), value.node)
    : value.node;
  return sign < 0 ? elaborator.builder.node(Op.Negate, size) : size;
}
