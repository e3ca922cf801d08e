/** What elaborating an expression offers to the parts it is made of: builtins, loads, masses, checks. */
import type { FindingCode } from '../../language/index.js';
import type { Budget } from '../../base/index.js';
import type { Dependency } from '../../model/dependency.js';
import type { Call, Expression } from '../../model/expression.js';
import type { Item, ValueItem } from '../../model/declaration.js';
import type { Entity, Namespace } from '../../model/namespace.js';
import type { Dimension, Unit, UnitScope } from '../../units/index.js';
import type { Builder } from '../values/builder.js';
import {
  hiddenEntry,
  type CasePart,
  type Condition,
  type LoadTerm,
  type Place,
  type Poison,
  type Quantity,
  type Truth,
  type Value,
  type Vector,
} from '../values/value.js';

/** Something wrong in an expression; the catalogue of findings words it. */
export interface Problem {
  readonly code: FindingCode;
  readonly place: Place;
  readonly data: Readonly<Record<string, string>>;
  readonly related?: readonly { readonly place: Place; readonly message: string }[];
}

/** Names bound by parameters, sweeps and comprehensions. */
export interface Environment {
  readonly name: string;
  readonly value: Value;
  readonly parent: Environment | null;
  /** An entry of the record that is being made. */
  readonly isEntry?: boolean;
  used?: boolean;
}

/** What elaboration needs from the evaluation around it. */
export interface Host {
  readonly namespace: Namespace;
  readonly library: Namespace;
  readonly units: UnitScope;
  /** The value of an item in an entity; the reader will follow its changes. */
  read(entity: Entity, item: ValueItem): Value;
  attribute(entity: Entity, name: string): Value | undefined;
  /** The item that counts for a name in an entity: a configuration's override before the model's own. */
  itemOf(entity: Entity, name: string): { item: ValueItem; scope: Entity } | undefined;
  /** Names of the values of an entity, with those that only a configuration gives it. */
  valueNames(entity: Entity): Iterable<string>;
  /** The elaboration depends on more than the values it reads; seen from `from`, where that is a block. */
  dependsOn(dependency: Dependency, from?: Entity): void;
  /** The elaboration depends on the present value of a number. */
  demands(node: number, value: number): void;
  /** The elaboration puts the body of a formula in its place. */
  calls(item: ValueItem): void;
  /** The elaboration repeats the inside of another cell. */
  repeats(owner: unknown): void;
  rows(entity: Entity): Value;
}

/** A condition of a formula that was called, to be looked at after each run. */
export interface Guard {
  readonly node: number;
  readonly place: Place;
  readonly formula: string;
  readonly condition: Place;
}

/** One elaboration of one item, as its parts see it. */
export interface Elaboration {
  readonly host: Host;
  readonly builder: Builder;
  readonly problems: Problem[];
  /** The item and the entity whose text is being read. */
  item: Item;
  scope: Entity;
  /** What names stand for in that scope, as far as they were looked up: the rows of a sweep ask for the same ones. */
  resolved: Map<string, Value>;
  /** Whether corners of a load in any direction are spread round the axis, or only taken with both signs. */
  allDirections: boolean;
  /** Set where a component across the axis is asked for, so that signs alone don't do. */
  directionsUsed: boolean;
  /** Whether sweeps run over everything between what they list. */
  continuous: boolean;
  /** Set where a sweep lists only some of what it runs over. */
  listsSome: boolean;
  /** Keys of the ranges that sweeps run over, as they are made. */
  readonly sweptKeys: string[];
  /** Set where structure depends on a number that a sweep runs over, so that it can't be followed between. */
  broken: boolean;
  /** Names of the binders that something read. */
  readonly usedBinders: Set<number>;
  /** Which call and which item of a fold is being read: a tolerance written there is a source of its own in each. */
  instance: string;
  /** Conditions of the formulas that were called. */
  readonly guarded: Guard[];
  /** Entries of records on the way to what is being read. */
  readonly path: string[];
  /** Whether breakpoints are being looked for: no problem is told. */
  readonly trying: boolean;
  /** Work that this elaboration may do; what asks for more is undetermined. */
  readonly budget: Budget;
  problem(code: FindingCode, id: number, data?: Readonly<Record<string, string>>): Poison;
  quantity(node: number, dimension: Dimension, unit?: Unit | null, point?: boolean): Quantity;
  truth(node: number, condition?: Condition | null): Truth;
  vector(nodes: readonly number[], dimension: Dimension, unit?: Unit | null): Vector;
  expression(e: Expression, env: Environment | null): Value;
  /** The present value of a number that structure depends on. */
  demand(node: number): number;
  /** Reads without reporting problems: what is read again otherwise, or only looked at. */
  quietly<T>(read: () => T): T;
  /** Reads in another item and the scope where it was written. */
  inItem<T>(item: Item, scope: Entity, read: () => T): T;
  /** Whether a formula may be called here: not inside itself, nor too deep. */
  mayCall(item: ValueItem): boolean;
  /** Reads the body of a formula that is called at `id`. */
  inCall<T>(item: ValueItem, scope: Entity, id: number, read: () => T): T;
  /** Breakpoints between two numbers of the tables that `trial` asks with its parameter; found once for each key. */
  breakpoints(key: string | null, from: number, to: number, trial: (parameter: number) => void): readonly number[];
}

export interface BuiltinFunction {
  readonly signature: string;
  readonly doc: string;
  call(elaborator: Elaboration, call: Call, env: Environment | null): Value;
}

/** Entry of the record that `knots` gives: the range whose breakpoints a sweep finds. */
export const KNOTS = hiddenEntry('knots');

export function choiceLabels(term: LoadTerm): CasePart[] {
  if (term.kind === 'single') return [...term.choices.values()].map(choice => choice.label);
  const inner = term.terms.flatMap(choiceLabels);
  return term.kind === 'rss' && typeof term.sign === 'number' && term.sign !== 0
    ? [...inner, { kind: 'text', text: term.sign > 0 ? '+rss' : '−rss' }]
    : inner;
}
