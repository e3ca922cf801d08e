/**
 * What an expression is worth: structure that is known while it is elaborated, with numbers as entries of the arena.
 */
import type { FindingCode } from '../../language/index.js';
import type { Entity } from '../../model/namespace.js';
import type { Annotations, Comparison } from '../../model/expression.js';
import type { ValueItem } from '../../model/declaration.js';
import type { Dimension, Unit } from '../../units/index.js';
import type { TableData } from '../operations/table.js';

export interface Quantity {
  readonly kind: 'quantity';
  readonly node: number;
  readonly dimension: Dimension;
  /** A point of temperature, not a difference. */
  readonly point: boolean;
  /** The unit it was written in, kept for printing. */
  readonly unit: Unit | null;
  /** For a lateral acceleration in a corner: which way it points across the axis. */
  readonly direction?: Direction;
}

/** A direction across the axis: one that is listed, or any, by entries for its magnitude and its angle from y to z. */
export type Direction =
  { readonly y: number; readonly z: number } | { readonly magnitude: number; readonly angle: number };

/** A truth value: 1 or 0, NaN undetermined. Comparisons keep their sides, from which a check takes its margin. */
export interface Truth {
  readonly kind: 'truth';
  readonly node: number;
  readonly condition: Condition | null;
}

export type Condition =
  | {
      readonly kind: 'compare';
      readonly operator: Comparison;
      readonly left: Quantity;
      readonly right: Quantity;
      readonly leftId: number;
      readonly rightId: number;
    }
  | { readonly kind: 'range'; readonly parts: readonly Condition[] }
  | { readonly kind: 'and' | 'or'; readonly parts: readonly Condition[] }
  | { readonly kind: 'boolean'; readonly node: number };

export interface Text {
  readonly kind: 'text';
  readonly text: string;
  /** Whether it is only known to be one, inside a kind that is given it. */
  readonly typed?: boolean;
  /** The instance and the item by which a kind was given it. */
  readonly given?: { readonly instance: Entity; readonly item: ValueItem };
}
export interface DateValue {
  readonly kind: 'date';
  readonly text: string;
}
export interface ListValue {
  readonly kind: 'list';
  readonly items: readonly Value[];
  readonly labels?: readonly string[];
  /** Whether it holds what a sweep lists of a range, without what lies between. */
  readonly partial?: boolean;
}
export interface Vector {
  readonly kind: 'vector';
  readonly nodes: readonly [number, number, number];
  readonly dimension: Dimension;
  readonly unit: Unit | null;
}
const HIDDEN = '*';
/** Name of an entry that the engine keeps in a record for itself: no name of the language begins like it. */
export const hiddenEntry = (name: string): string => HIDDEN + name;
export const isHiddenEntry = (name: string): boolean => name.startsWith(HIDDEN);

export interface RecordValue {
  readonly kind: 'record';
  readonly entries: ReadonlyMap<string, Value>;
}
export interface RangeValue {
  readonly kind: 'range';
  readonly low: Quantity;
  readonly high: Quantity;
}
/** `2.8 g0 any`. */
export interface AnyDirection {
  readonly kind: 'any-direction';
  readonly magnitude: Quantity;
}
export interface TableValue {
  readonly kind: 'table';
  readonly data: TableData;
  readonly inputs: readonly TableInput[];
  readonly output: { readonly dimension: Dimension; readonly point: boolean; readonly unit: Unit | null };
  /** Which value of the project it is, for basis and source; null for a table built in passing. */
  readonly origin: Origin | null;
}
export interface TableInput {
  readonly name: string | null;
  readonly text: boolean;
  readonly dimension: Dimension;
  readonly point: boolean;
  readonly unit: Unit | null;
}
/** A `let` with parameters or a `formula`, with the entity whose names its body sees. */
export interface FormulaValue {
  readonly kind: 'formula';
  readonly item: ValueItem;
  readonly scope: Entity;
}
export interface Builtin {
  readonly kind: 'builtin';
  readonly name: string;
}
export interface EntityValue {
  readonly kind: 'entity';
  readonly entity: Entity;
}
/** A load in one of its corners, or loads that act together. */
export interface LoadCase {
  readonly kind: 'load';
  readonly name: string;
  readonly term: LoadTerm;
}
export type LoadTerm =
  | { readonly kind: 'single'; readonly entity: Entity; readonly choices: ReadonlyMap<string, Choice> }
  | {
      readonly kind: 'sum' | 'rss';
      readonly terms: readonly LoadTerm[];
      /** The sign that a root of squares takes in a corner, or an entry for anything between both. */
      readonly sign: 1 | -1 | 0 | { readonly between: number };
    };
export interface Choice {
  readonly value: Value;
  readonly label: CasePart;
}
/** A piece of the name of a case; signs and numbers are read when it is printed, since they move with the values. */
export type CasePart =
  /** `joined`: belongs to the load that is named before it. */
  | { readonly kind: 'text'; readonly text: string; readonly joined?: boolean }
  /** A value anywhere in a range: where it stands is told once a worst case is found. */
  | {
      readonly kind: 'between';
      readonly name: string;
      readonly node: number;
      readonly angle: number | null;
      readonly dimension: Dimension;
      readonly point: boolean;
      readonly unit: Unit | null;
      /** Entries of both ends. */
      readonly ends: readonly [number, number];
      readonly ofLoad: boolean;
    }
  | { readonly kind: 'sign'; readonly field: string; readonly node: number; readonly axis: string | null }
  | {
      readonly kind: 'value';
      readonly name: string;
      readonly node: number;
      /** The number itself, where no entry holds it. */
      readonly value?: number;
      readonly dimension: Dimension;
      readonly point: boolean;
      readonly unit: Unit | null;
    };
/** Rows of a data file; records are made as they are asked for. */
export interface RowsValue {
  readonly kind: 'rows';
  readonly source: Entity;
  readonly data: DataRows;
}

/** Columns of a data file, numbers in SI. One object as long as the file stays the same. */
export interface DataRows {
  readonly columns: ReadonlyMap<string, DataColumn>;
  readonly length: number;
  /** False while the file is missing or can't be read; then there is no value. */
  readonly ready: boolean;
}
export type DataColumn =
  | { readonly kind: 'numbers'; readonly numbers: Float64Array; readonly unit: Unit | null }
  | { readonly kind: 'texts'; readonly texts: readonly string[] };
/** Something is wrong or missing; whatever reads it is undetermined for this reason. */
export interface Poison {
  readonly kind: 'poison';
  readonly reason: Reason | null;
}

export interface Reason {
  readonly code: FindingCode;
  readonly data: Readonly<Record<string, string>>;
  readonly place: Place | null;
}

export type Value =
  | Quantity
  | Truth
  | Text
  | DateValue
  | ListValue
  | Vector
  | RecordValue
  | RangeValue
  | AnyDirection
  | TableValue
  | FormulaValue
  | Builtin
  | EntityValue
  | LoadCase
  | RowsValue
  | Poison;

/** A node of an item: where something stands. */
export interface Place {
  readonly owner: {
    readonly spans: readonly number[];
    readonly placement: { readonly file: string; readonly start: number };
  };
  readonly id: number;
}

/** A value of the project with what was said about it: basis, source, `tbc`, maturity. */
export interface Origin {
  readonly entity: Entity;
  readonly item: ValueItem;
  /** Names below the item, as in `ultimate.x`. */
  readonly path: readonly string[];
  readonly annotations: Annotations;
}

export const POISON: Poison = { kind: 'poison', reason: null };

export function isPoison(value: Value): value is Poison {
  return value.kind === 'poison';
}

/** In the engineer's words. */
export function describeKind(value: Value): string {
  switch (value.kind) {
    case 'quantity':
      return value.point ? 'a temperature' : 'a quantity';
    case 'truth':
      return 'a condition';
    case 'text':
      return 'a text';
    case 'date':
      return 'a date';
    case 'list':
      return 'a list';
    case 'vector':
      return 'a vector';
    case 'record':
      return 'a record';
    case 'range':
      return 'a range';
    case 'any-direction':
      return 'a value in any direction';
    case 'table':
      return 'a table';
    case 'formula':
    case 'builtin':
      return 'a formula';
    case 'entity':
      return `the ${value.entity.kind} ${value.entity.name}`;
    case 'load':
      return `the load ${value.name}`;
    case 'rows':
      return 'the rows of a file';
    case 'poison':
      return 'something undetermined';
  }
}

/** Calls `visit` for every number in `value`, in a fixed order, and returns the value with what it gives back. */
export function mapNodes(
  value: Value,
  visit: (node: number, owner: Value, path: readonly string[]) => number,
  path: readonly string[] = [],
): Value {
  switch (value.kind) {
    case 'quantity':
      return {
        ...value,
        node: visit(value.node, value, path),
        ...(value.direction && 'angle' in value.direction
          ? {
              direction: {
                magnitude: visit(value.direction.magnitude, value, path),
                angle: visit(value.direction.angle, value, path),
              },
            }
          : {}),
      };
    case 'truth':
      return { kind: 'truth', node: visit(value.node, value, path), condition: null };
    case 'vector':
      return {
        ...value,
        nodes: [
          visit(value.nodes[0], value, [...path, 'x']),
          visit(value.nodes[1], value, [...path, 'y']),
          visit(value.nodes[2], value, [...path, 'z']),
        ],
      };
    case 'range':
      return {
        kind: 'range',
        low: mapNodes(value.low, visit, [...path, 'low']) as Quantity,
        high: mapNodes(value.high, visit, [...path, 'high']) as Quantity,
      };
    case 'any-direction':
      return { kind: 'any-direction', magnitude: mapNodes(value.magnitude, visit, path) as Quantity };
    case 'list':
      return { ...value, items: value.items.map((item, i) => mapNodes(item, visit, [...path, String(i + 1)])) };
    case 'record':
      return {
        kind: 'record',
        entries: new Map([...value.entries].map(([name, entry]) => [name, mapNodes(entry, visit, [...path, name])])),
      };
    case 'load':
      return { ...value, term: mapTerm(value.term, visit, path) };
    default:
      return value;
  }
}

function mapTerm(
  term: LoadTerm,
  visit: (node: number, owner: Value, path: readonly string[]) => number,
  path: readonly string[],
): LoadTerm {
  if (term.kind !== 'single') return { ...term, terms: term.terms.map(inner => mapTerm(inner, visit, path)) };
  return {
    ...term,
    choices: new Map(
      [...term.choices].map(([name, choice]) => {
        const value = mapNodes(choice.value, visit, [...path, name]);
        return [
          name,
          {
            value,
            label:
              choice.label.kind === 'sign' && value.kind === 'quantity'
                ? { ...choice.label, node: value.node }
                : choice.label,
          },
        ];
      }),
    ),
  };
}

type ValueOf<K extends Value['kind']> = Extract<Value, { kind: K }>;

/** Whether two values of a kind have the same structure. */
const SAME: { readonly [K in Value['kind']]: (x: ValueOf<K>, y: ValueOf<K>) => boolean } = {
  quantity: (x, y) =>
    x.node === y.node &&
    x.dimension === y.dimension &&
    x.point === y.point &&
    x.unit === y.unit &&
    sameDirection(x.direction, y.direction),
  truth: (x, y) => x.node === y.node,
  text: (x, y) => x.text === y.text,
  date: (x, y) => x.text === y.text,
  vector: (x, y) => x.dimension === y.dimension && x.unit === y.unit && x.nodes.every((node, i) => node === y.nodes[i]),
  range: (x, y) => sameShape(x.low, y.low) && sameShape(x.high, y.high),
  'any-direction': (x, y) => sameShape(x.magnitude, y.magnitude),
  list: (x, y) =>
    x.partial === y.partial &&
    x.items.length === y.items.length &&
    x.items.every((item, i) => sameShape(item, y.items[i]!)),
  record: (x, y) =>
    x.entries.size === y.entries.size &&
    [...x.entries].every(([name, entry]) => {
      const other = y.entries.get(name);
      return other !== undefined && sameShape(entry, other);
    }),
  table: (x, y) =>
    sameTable(x.data, y.data) &&
    x.output.dimension === y.output.dimension &&
    x.output.point === y.output.point &&
    x.origin?.item === y.origin?.item &&
    x.inputs.length === y.inputs.length &&
    x.inputs.every((input, i) => input.dimension === y.inputs[i]!.dimension),
  formula: (x, y) => x.item.hash === y.item.hash && x.scope === y.scope,
  builtin: (x, y) => x.name === y.name,
  entity: (x, y) => x.entity === y.entity,
  load: (x, y) => x.name === y.name && sameTerm(x.term, y.term),
  rows: (x, y) => x.data === y.data,
  poison: (x, y) => sameReason(x.reason, y.reason),
};

/** Whether two values have the same structure, so that code that reads one can read the other unchanged. */
export function sameShape(x: Value, y: Value): boolean {
  const same = SAME[x.kind] as (x: Value, y: Value) => boolean;
  return x === y || (x.kind === y.kind && same(x, y));
}

/** A place is another where what stands there was written anew: it keeps neither its spans nor its file. */
function sameReason(x: Reason | null, y: Reason | null): boolean {
  return (
    x === y ||
    (x?.code === y?.code &&
      x?.place?.owner === y?.place?.owner &&
      x?.place?.id === y?.place?.id &&
      JSON.stringify(x?.data) === JSON.stringify(y?.data))
  );
}

function sameDirection(x: Direction | undefined, y: Direction | undefined): boolean {
  if (!x || !y) return x === y;
  if ('y' in x && 'y' in y) return x.y === y.y && x.z === y.z;
  return 'angle' in x && 'angle' in y && x.angle === y.angle && x.magnitude === y.magnitude;
}

function sameTerm(x: LoadTerm, y: LoadTerm): boolean {
  if (x.kind === 'single' && y.kind === 'single')
    return (
      x.entity === y.entity &&
      x.choices.size === y.choices.size &&
      [...x.choices].every(
        ([name, choice]) => y.choices.has(name) && sameShape(choice.value, y.choices.get(name)!.value),
      )
    );
  if (x.kind !== 'single' && y.kind !== 'single')
    return (
      x.kind === y.kind &&
      x.sign === y.sign &&
      x.terms.length === y.terms.length &&
      x.terms.every((term, i) => sameTerm(term, y.terms[i]!))
    );
  return false;
}

export function sameTable(x: TableData, y: TableData): boolean {
  if (x === y) return true;
  if (x.interpolation !== y.interpolation || x.keys.length !== y.keys.length || x.values.length !== y.values.length)
    return false;
  for (let i = 0; i < x.keys.length; i++) {
    if (x.keys[i] !== y.keys[i]) return false;
    const [p, q] = [x.values[i]!, y.values[i]!];
    if (typeof p === 'number' || typeof q === 'number' ? !Object.is(p, q) : !sameTable(p, q)) return false;
  }
  return true;
}
