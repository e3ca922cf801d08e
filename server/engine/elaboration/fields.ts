/**
 * Fields whose type the block fixes (`language/blocks.ts`): a value of another kind or dimension is found where it is
 * written, read or not.
 */
import { BLOCKS, type FieldType } from '../../language/index.js';
import type { ValueItem } from '../../model/declaration.js';
import {
  DIMENSIONLESS,
  dimensionName,
  LENGTH,
  MASS,
  multiply,
  parseDimension,
  power,
  TEMPERATURE,
  type Dimension,
} from '../../units/index.js';
import { dimensionWords } from '../values/describe.js';
import type { Elaboration } from './elaboration.js';
import { describeKind, isPoison, type Value } from '../values/value.js';

export const INERTIA = multiply(MASS, power(LENGTH, 2));
export const INERTIA_ENTRIES = ['Ixx', 'Iyy', 'Izz', 'Ixy', 'Ixz', 'Iyz'] as const;

/** What a field takes. `words` says it to the engineer. */
type Wanted =
  | {
      readonly kind: 'quantity' | 'vector' | 'range';
      readonly dimension: Dimension;
      readonly point: boolean;
      readonly words: string;
    }
  | { readonly kind: 'entity'; readonly of: string; readonly words: string }
  | { readonly kind: (typeof PLAIN)[number]; readonly words: string };

const PLAIN = ['text', 'date', 'truth', 'inertia'] as const;
const WORDS: Readonly<Record<(typeof PLAIN)[number], string>> = {
  text: 'a text',
  date: 'a day of the calendar (2027-04-20), or a milestone',
  truth: 'true or false',
  inertia: `(Ixx, Iyy, Izz) or { ${INERTIA_ENTRIES.join(', ')} } in ${dimensionName(INERTIA)}`,
};

/** Types that name no dimension and are looked at by whoever reads them. */
const FREE: ReadonlySet<FieldType> = new Set(['any', 'word', 'file', 'reference']);
/** References to a block that is called as the field is. */
const NAMED: ReadonlyMap<string, Wanted> = new Map(
  ['material', 'growth'].map(of => [of, { kind: 'entity', of, words: `the name of a ${of} block` }]),
);
const wantedOf = new Map<string, Wanted | null>();

function wanted(kind: string, field: string): Wanted | null {
  const type = BLOCKS.get(kind)?.fields[field]?.type;
  if (type === 'reference') return NAMED.get(field) ?? null;
  if (type === undefined || FREE.has(type)) return null;
  let known = wantedOf.get(type);
  if (known === undefined) wantedOf.set(type, (known = readType(type)));
  return known;
}

function readType(type: FieldType): Wanted {
  const plain = PLAIN.find(kind => kind === type);
  if (plain) return { kind: plain, words: WORDS[plain] };
  const [, name, form] = /^(\w+)(?: (point|vector|range))?$/.exec(type)!;
  const dimension = name === 'number' ? DIMENSIONLESS : parseDimension(name!)!;
  if (form === 'vector')
    return {
      kind: 'vector',
      dimension,
      point: false,
      words: `(x, y, z) in ${name === 'number' ? 'angle' : dimensionName(dimension)}`,
    };
  if (form === 'range')
    return { kind: 'range', dimension, point: true, words: `a point of ${name}, or a range of them` };
  const point = form === 'point';
  return {
    kind: 'quantity',
    dimension,
    point,
    words:
      name === 'number' ? 'a plain number' : point ? `a point of ${name}` : `a quantity of ${dimensionName(dimension)}`,
  };
}

/** Whether a plain number of this dimension may stand in a field. */
export function fieldTakes(kind: string, field: string, dimension: Dimension, point: boolean): boolean {
  const type = wanted(kind, field);
  if (!type) return !(kind === 'load' && ACTING.has(field) && dimension === MASS);
  return (type.kind === 'quantity' || type.kind === 'range') && type.dimension === dimension && type.point === point;
}

/** The value of a field, or what is wrong with it. */
export function checkedField(elaborator: Elaboration, kind: string, item: ValueItem, value: Value): Value {
  const name = item.path[item.path.length - 1]!;
  if (kind === 'load' && isInGrams(name, value))
    return elaborator.problem('field-dimension', item.value.id, { ...IN_GRAMS, field: name });
  const type = wanted(kind, name);
  if (!type || isPoison(value)) return value;
  const found = mismatch(type, value);
  if (found === null) return value;
  return elaborator.problem('field-dimension', item.value.id, { field: name, wanted: type.words, found });
}

/** What acts in a load is an acceleration or a force, as the project has it, and never a mass: `g0` was meant. */
function isInGrams(field: string, value: Value): boolean {
  const acting = value.kind === 'range' ? value.low : value.kind === 'any-direction' ? value.magnitude : value;
  return ACTING.has(field) && acting.kind === 'quantity' && acting.dimension === MASS;
}

const ACTING: ReadonlySet<string> = new Set(['axial', 'lateral']);
const IN_GRAMS = { wanted: 'an acceleration or a force', found: 'in grams', unit: 'g0' };

/** What a value is in the engineer's words where it is not what a field takes. */
function mismatch(type: Wanted, value: Value): string | null {
  switch (type.kind) {
    case 'quantity':
      return value.kind === 'quantity' && value.dimension === type.dimension && value.point === type.point
        ? null
        : said(value);
    case 'range': {
      const at = value.kind === 'range' ? value.low : value;
      return at.kind === 'quantity' && at.dimension === type.dimension && at.point === type.point ? null : said(at);
    }
    case 'vector':
      return value.kind === 'vector' && value.dimension === type.dimension ? null : said(value);
    case 'inertia':
      if (value.kind === 'record') return wrongEntry(value.entries);
      return value.kind === 'vector' && value.dimension === INERTIA ? null : said(value);
    case 'entity':
      return value.kind === 'entity' && value.entity.kind === type.of ? null : said(value);
    case 'date':
      return value.kind === 'date' || (value.kind === 'entity' && value.entity.kind === 'milestone')
        ? null
        : said(value);
    default:
      return value.kind === type.kind ? null : said(value);
  }
}

function wrongEntry(entries: ReadonlyMap<string, Value>): string | null {
  for (const [name, value] of entries) {
    if (!(INERTIA_ENTRIES as readonly string[]).includes(name)) return `an entry ${name}`;
    if (!isPoison(value) && (value.kind !== 'quantity' || value.dimension !== INERTIA))
      return `${name} as ${said(value)}`;
  }
  return null;
}

function said(value: Value): string {
  switch (value.kind) {
    case 'quantity':
      return value.dimension === TEMPERATURE && !value.point ? 'a difference of temperature' : dimensionWords(value);
    case 'vector':
      return `(x, y, z) in ${dimensionName(value.dimension)}`;
    default:
      return describeKind(value);
  }
}
