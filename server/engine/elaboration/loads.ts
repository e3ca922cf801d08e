/** Loads as cases: their corners, and loads that act together. */
import { BLOCKS } from '../../language/index.js';
import { ON_ANY_VALUE, onName } from '../../model/dependency.js';
import type { ValueItem } from '../../model/declaration.js';
import type { Entity } from '../../model/namespace.js';
import type { Elaboration } from './elaboration.js';
import { sum } from './arithmetic.js';
import { Op } from '../operations/op.js';
import {
  describeKind,
  isPoison,
  POISON,
  type Choice,
  type LoadCase,
  type LoadTerm,
  type Quantity,
  type RangeValue,
  type Value,
} from '../values/value.js';

/** The load that a value stands for; reports and gives null where it is none. */
export function loadTerm(elaborator: Elaboration, value: Value, id: number): LoadTerm | null {
  if (value.kind === 'load') return value.term;
  if (value.kind === 'entity' && value.entity.kind === 'load')
    return { kind: 'single', entity: value.entity, choices: new Map() };
  if (value.kind === 'entity' && value.entity.kind === 'case') {
    const item = value.entity.declaration.value;
    const combined = item ? elaborator.host.read(value.entity, item) : POISON;
    return isPoison(combined) ? null : loadTerm(elaborator, combined, id);
  }
  if (!isPoison(value)) elaborator.problem('load-expected', id, { found: describeKind(value) });
  return null;
}

/**
 * A field of a load in a case: what was chosen for it in a corner, the sum or the root of squares where loads act
 * together.
 */
export function loadMember(elaborator: Elaboration, term: LoadTerm, name: string, field: string, id: number): Value {
  if (term.kind === 'single') {
    const found = term.choices.get(field)?.value ?? fieldOf(elaborator, term.entity, field);
    if (found) return found;
    const known = fieldNames(elaborator, term).sort().join(', ');
    return elaborator.problem('unknown-member', id, { name: field, of: term.entity.name, known });
  }
  const carriers = term.terms.filter(inner => hasField(inner, field));
  if (carriers.length === 0)
    return elaborator.problem('unknown-member', id, {
      name: field,
      of: name || 'these loads',
      known: [...new Set(fieldNames(elaborator, term))].sort().join(', '),
    });
  const values = carriers.map(inner => loadMember(elaborator, inner, name, field, id));
  const poisoned = values.find(isPoison);
  if (poisoned) return poisoned;
  if (field === 'temperature') return together(elaborator, values, id);
  const quantities: Quantity[] = [];
  for (const value of values) {
    if (value.kind !== 'quantity')
      return values.length === 1 ? value : elaborator.problem('range-in-arithmetic', id, { operator: '+' });
    quantities.push(value);
  }
  if (term.kind === 'sum')
    return quantities
      .slice(1)
      .reduce<Value>(
        (total, next) => (total.kind === 'quantity' ? sum(elaborator, '+', total, next, id) : total),
        quantities[0]!,
      );
  return rootSumSquare(elaborator, quantities, term.sign, id);
}

export function rootSumSquare(
  elaborator: Elaboration,
  quantities: readonly Quantity[],
  sign: 1 | -1 | 0 | { readonly between: number },
  id: number,
): Value {
  const { builder } = elaborator;
  const first = quantities[0]!;
  let total = builder.node(Op.Square, first.node);
  for (const next of quantities.slice(1)) {
    if (next.dimension !== first.dimension)
      return elaborator.problem('cannot-add', id, { left: describeKind(first), right: describeKind(next) });
    total = builder.node(Op.Add, total, builder.node(Op.Square, next.node));
  }
  const root = builder.node(Op.SquareRoot, total);
  const signed =
    typeof sign === 'object'
      ? builder.node(Op.Multiply, root, sign.between)
      : sign < 0
        ? builder.node(Op.Negate, root)
        : root;
  return elaborator.quantity(signed, first.dimension, first.unit);
}

/** Loads that act at once share their temperature: the range that all of them allow. */
function together(elaborator: Elaboration, values: readonly Value[], id: number): Value {
  const ranges = values.map(value =>
    value.kind === 'range'
      ? value
      : value.kind === 'quantity'
        ? { kind: 'range' as const, low: value, high: value }
        : null,
  );
  if (ranges.some(range => range === null))
    return elaborator.problem('number-expected', id, { found: 'something else' });
  const { builder } = elaborator;
  const known = ranges as RangeValue[];
  const low = known.map(range => range.low.node).reduce((x, y) => builder.node(Op.Maximum, x, y));
  const high = known.map(range => range.high.node).reduce((x, y) => builder.node(Op.Minimum, x, y));
  return { kind: 'range', low: { ...known[0]!.low, node: low }, high: { ...known[0]!.high, node: high } };
}

function fieldOf(elaborator: Elaboration, entity: Entity, field: string): Value | undefined {
  elaborator.host.dependsOn(onName(field));
  const found = elaborator.host.itemOf(entity, field);
  if (!found) return field === 'name' ? { kind: 'text', text: entity.name } : undefined;
  if (field === 'level')
    return found.item.value.kind === 'name' ? { kind: 'text', text: found.item.value.name } : undefined;
  return found.item.parameters
    ? { kind: 'formula', item: found.item, scope: entity }
    : elaborator.host.read(entity, found.item);
}

function hasField(term: LoadTerm, field: string): boolean {
  return term.kind === 'single' ? term.entity.values.has(field) : term.terms.some(inner => hasField(inner, field));
}

/** All that a load states, to be looked at as a whole. */
function valuesOf(elaborator: Elaboration, load: Entity): ReadonlyMap<string, ValueItem> {
  elaborator.host.dependsOn(ON_ANY_VALUE, load);
  return load.values;
}

function fieldNames(elaborator: Elaboration, term: LoadTerm): string[] {
  return term.kind === 'single'
    ? [...valuesOf(elaborator, term.entity).keys()]
    : term.terms.flatMap(inner => fieldNames(elaborator, inner));
}

/** Every sign and direction that a load (or each of a list) can take, as cases. */
export function corners(elaborator: Elaboration, value: Value, id: number): Value {
  if (isPoison(value)) return value;
  const loads = value.kind === 'list' ? value.items : [value];
  const items: LoadCase[] = [];
  for (const load of loads) {
    if (isPoison(load)) return load;
    const term = loadTerm(elaborator, load, id);
    if (!term) return POISON;
    const count = cornersOf(elaborator, cornered(elaborator, term));
    if (count > MOST_CORNERS) return elaborator.problem('too-many-corners', id, { most: String(MOST_CORNERS) });
    elaborator.budget.spend(count * sizeOf(term));
    const name = load.kind === 'entity' ? load.entity.name : load.kind === 'load' ? load.name : '';
    for (const corner of termCorners(elaborator, term)) items.push({ kind: 'load', name, term: corner });
  }
  return { kind: 'list', items };
}

/** Corners that one case may have, and loads that may act together in it. */
const MOST_CORNERS = 20_000;
const MOST_TERMS = 64;

const sizes = new WeakMap<LoadTerm, number>();

/** How many loads act together in a case; a case may be added to itself again and again. */
function sizeOf(term: LoadTerm): number {
  if (term.kind === 'single') return 1;
  let size = sizes.get(term);
  if (size === undefined) {
    size = term.terms.reduce((sum, inner) => sum + sizeOf(inner), 0);
    sizes.set(term, size);
  }
  return size;
}

/** Loads that act together; reports and gives null where they are too many. */
export function combined(
  elaborator: Elaboration,
  kind: 'sum' | 'rss',
  terms: readonly LoadTerm[],
  id: number,
): LoadCase | null {
  const term: LoadTerm = { kind, terms, sign: 0 };
  if (sizeOf(term) <= MOST_TERMS) return { kind: 'load', name: '', term };
  elaborator.problem('too-many-loads', id, { most: String(MOST_TERMS) });
  return null;
}

function termCorners(elaborator: Elaboration, term: LoadTerm): LoadTerm[] {
  if (term.kind === 'single') return singleCorners(elaborator, term.entity);
  const combined = term.terms
    .map(inner => termCorners(elaborator, inner))
    .reduce<LoadTerm[][]>((all, choices) => all.flatMap(before => choices.map(choice => [...before, choice])), [[]]);
  const signs: (1 | -1 | 0)[] = term.kind === 'rss' ? [1, -1] : [0];
  return combined.flatMap(terms => signs.map(sign => ({ kind: term.kind, terms, sign })));
}

function singleCorners(elaborator: Elaboration, entity: Entity): LoadTerm[] {
  let choices: ReadonlyMap<string, Choice>[] = [new Map()];
  const values = [...valuesOf(elaborator, entity)];
  for (const [field, item] of values.sort(([x], [y]) => fieldRank(x) - fieldRank(y) || (x < y ? -1 : 1))) {
    if (field === 'temperature' || item.parameters || item.kind === 'unit') continue;
    const value = fieldOf(elaborator, entity, field);
    const options = value ? fieldCorners(elaborator, field, value) : null;
    if (options) choices = choices.flatMap(before => options.map(option => new Map([...before, [field, option]])));
  }
  return choices.map(choice => ({ kind: 'single', entity, choices: choice }));
}

const FIELDS = Object.keys(BLOCKS.get('load')!.fields);

/** Cases are named alike in whichever order a load's fields are written: axial, lateral, then its own by name. */
function fieldRank(field: string): number {
  const rank = FIELDS.indexOf(field);
  return rank < 0 ? FIELDS.length : rank;
}

/** Step of the directions that are listed round the axis where components count; what lies between is proved. */
const DIRECTION_STEP = 90;

function fieldCorners(elaborator: Elaboration, field: string, value: Value): Choice[] | null {
  if (value.kind === 'range')
    return [value.high, value.low].map(end => ({
      value: end,
      label: { kind: 'sign', field, node: end.node, axis: null },
    }));
  if (value.kind !== 'any-direction') return null;
  const { magnitude } = value;
  const { builder } = elaborator;
  if (!elaborator.allDirections) {
    return [1, -1].map(sign => {
      const node = sign > 0 ? magnitude.node : builder.node(Op.Negate, magnitude.node);
      return {
        value: { ...magnitude, node, direction: { y: 1, z: 0 } },
        label: { kind: 'sign', field, node, axis: null },
      };
    });
  }
  return Array.from({ length: 360 / DIRECTION_STEP }, (_, i) =>
    direction(elaborator, field, magnitude, i * DIRECTION_STEP),
  );
}

/** The lateral load at an angle from y towards z. As one number it is its magnitude, with its sign along an axis. */
function direction(elaborator: Elaboration, field: string, magnitude: Quantity, degrees: number): Choice {
  const angle = (degrees * Math.PI) / 180;
  const exact = (x: number): number => (Math.abs(x) < 1e-12 ? 0 : x);
  const backward = degrees === 180 || degrees === 270;
  const node = backward ? elaborator.builder.node(Op.Negate, magnitude.node) : magnitude.node;
  const sign = backward ? -1 : 1;
  const value: Quantity = {
    ...magnitude,
    node,
    direction: { y: exact(Math.cos(angle)) * sign, z: exact(Math.sin(angle)) * sign },
  };
  if (degrees % 90 === 0) return { value, label: { kind: 'sign', field, node, axis: degrees % 180 === 0 ? 'y' : 'z' } };
  return { value, label: { kind: 'text', text: `+${field} at ${degrees}°` } };
}

// ---- Anywhere between the corners -----------------------------------------------------------------------------------

/**
 * Cases that stand for everything between the corners of a list, or null where the list holds none: what `corners`
 * gives
 * is taken together, load by load. A list that somebody made of some corners only stays as it is.
 */
export function betweenCorners(elaborator: Elaboration, cases: readonly Value[], binder: string): LoadCase[] | null {
  const groups = new Map<string, LoadCase[]>();
  for (const item of cases) {
    if (item.kind !== 'load' || !hasChoices(item.term)) return null;
    const key = `${item.name} ${skeleton(item.term)}`;
    const group = groups.get(key);
    if (group) group.push(item);
    else groups.set(key, [item]);
  }
  if (groups.size === 0) return null;
  const found: LoadCase[] = [];
  for (const [key, group] of groups) {
    if (group.length < cornersOf(elaborator, group[0]!.term)) return null;
    found.push({ ...group[0]!, term: between(elaborator, group[0]!.term, `${binder} ${key}`) });
  }
  return found;
}

function hasChoices(term: LoadTerm): boolean {
  return term.kind === 'single' ? term.choices.size > 0 : term.terms.some(hasChoices) || term.sign !== 0;
}

function skeleton(term: LoadTerm): string {
  return term.kind === 'single' ? term.entity.key : `${term.kind}(${term.terms.map(skeleton).join(' ')})`;
}

/** A case with a choice for each field that has one, to count its corners by. */
function cornered(elaborator: Elaboration, term: LoadTerm): LoadTerm {
  if (term.kind !== 'single') return { ...term, terms: term.terms.map(inner => cornered(elaborator, inner)) };
  const choices = new Map<string, Choice>();
  for (const [field, item] of valuesOf(elaborator, term.entity)) {
    if (field === 'temperature' || item.parameters || item.kind === 'unit') continue;
    const value = fieldOf(elaborator, term.entity, field);
    if (value?.kind === 'range' || value?.kind === 'any-direction')
      choices.set(field, { value, label: { kind: 'text', text: '' } });
  }
  return { ...term, choices };
}

function cornersOf(elaborator: Elaboration, term: LoadTerm): number {
  if (term.kind !== 'single')
    return term.terms.reduce((count, inner) => count * cornersOf(elaborator, inner), term.kind === 'rss' ? 2 : 1);
  return [...term.choices.keys()].reduce((count, field) => {
    const value = fieldOf(elaborator, term.entity, field);
    return count * (value?.kind === 'any-direction' && elaborator.allDirections ? 360 / DIRECTION_STEP : 2);
  }, 1);
}

function between(elaborator: Elaboration, term: LoadTerm, key: string): LoadTerm {
  if (term.kind !== 'single') {
    const terms = term.terms.map((inner, i) => between(elaborator, inner, `${key} ${i}`));
    if (term.kind === 'sum' || term.sign === 0) return { ...term, terms };
    const { builder } = elaborator;
    const sign = sweptSource(
      elaborator,
      `${key} sign`,
      'the sign of a root of squares',
      builder.constant(-1),
      builder.constant(1),
    );
    return { ...term, terms, sign: { between: sign } };
  }
  const choices = new Map<string, Choice>();
  for (const [field, choice] of term.choices) {
    const value = fieldOf(elaborator, term.entity, field);
    choices.set(field, (value && betweenEnds(elaborator, term.entity, field, value, key)) ?? choice);
  }
  return { ...term, choices };
}

function betweenEnds(elaborator: Elaboration, entity: Entity, field: string, value: Value, key: string): Choice | null {
  const { builder } = elaborator;
  const name = `${entity.path}.${field}`;
  const part = { kind: 'between' as const, name: field, angle: null, point: false, ofLoad: true };
  if (value.kind === 'range') {
    const { low, high } = value;
    const node = sweptSource(elaborator, `${key} ${field}`, name, low.node, high.node);
    return {
      value: { ...high, node },
      label: { ...part, node, dimension: high.dimension, unit: high.unit, ends: [low.node, high.node] },
    };
  }
  if (value.kind !== 'any-direction') return null;
  const { magnitude } = value;
  const backward = builder.node(Op.Negate, magnitude.node);
  const node = sweptSource(elaborator, `${key} ${field}`, name, backward, magnitude.node);
  const angle = sweptSource(
    elaborator,
    `${key} ${field} angle`,
    `the direction of ${name}`,
    builder.constant(-Math.PI),
    builder.constant(Math.PI),
  );
  return {
    value: { ...magnitude, node, direction: { magnitude: magnitude.node, angle } },
    label: {
      ...part,
      node,
      angle,
      dimension: magnitude.dimension,
      unit: magnitude.unit,
      ends: [backward, magnitude.node],
    },
  };
}

/** A number anywhere between two, as a source of variation. */
export function sweptSource(elaborator: Elaboration, key: string, name: string, low: number, high: number): number {
  const { builder } = elaborator;
  if (low === high) return low;
  const below = builder.node(Op.Subtract, low, high);
  const source = `sweep ${key}${elaborator.instance}`;
  elaborator.sweptKeys.push(source);
  return builder.source(high, below, builder.constant(0), {
    kind: 'source',
    key: source,
    distribution: null,
    sigmas: null,
    name,
    swept: true,
    written: null,
  });
}
