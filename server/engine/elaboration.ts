/** What elaborating an expression offers to the parts it is made of: builtins, loads, masses, checks. */
import type { Argument, BinaryOperator, Binder, Call, Expression } from '../model/expression.js';
import type { Item, ValueItem } from '../model/declaration.js';
import type { Entity, Namespace } from '../model/namespace.js';
import type { Dimension, Unit, UnitScope } from '../units/index.js';
import type { Builder } from './builder.js';
import type { CasePart, Condition, LoadTerm, Place, Poison, Quantity, Truth, Value, Vector } from './value.js';

/** Something wrong in an expression; the catalogue of findings words it. */
export interface Problem {
  readonly code: string;
  readonly place: Place;
  readonly data: Readonly<Record<string, string>>;
  readonly related?: readonly { readonly place: Place; readonly message: string }[];
}

/** Names bound by parameters, sweeps and comprehensions. */
export interface Environment { readonly name: string; readonly value: Value; readonly parent: Environment | null; used?: boolean }

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
  /** The elaboration depends on what this simple name means. */
  looksUp(name: string): void;
  /** The elaboration depends on the present value of a number. */
  demands(node: number, value: number): void;
  /** The elaboration puts the body of a formula in its place. */
  calls(item: ValueItem): void;
  /** The elaboration repeats the inside of another cell. */
  repeats(owner: unknown): void;
  rows(entity: Entity): Value;
}

/** One elaboration of one item, as its parts see it. */
export interface Elaboration {
  readonly host: Host;
  readonly builder: Builder;
  readonly problems: Problem[];
  /** The item and the entity whose text is being read. */
  item: Item;
  scope: Entity;
  /** Whether corners of a load in any direction are spread round the axis, or only taken with both signs. */
  allDirections: boolean;
  /** Set where a component across the axis is asked for, so that signs alone don't do. */
  directionsUsed: boolean;
  problem(code: string, id: number, data?: Readonly<Record<string, string>>): Poison;
  quantity(node: number, dimension: Dimension, unit?: Unit | null, point?: boolean): Quantity;
  truth(node: number, condition?: Condition | null): Truth;
  vector(nodes: readonly number[], dimension: Dimension, unit?: Unit | null): Vector;
  expression(e: Expression, env: Environment | null): Value;
  /** Positional arguments of a call, or null where they are wrong or undetermined. */
  values(call: Call, env: Environment | null, count: number, name: string): Value[] | null;
  /** Values of an argument that runs over something. */
  each(argument: Argument, env: Environment | null): { value: Value; label: string }[] | null;
  sum(operator: '+' | '-', left: Quantity, right: Quantity, id: number): Value;
  binary(operator: BinaryOperator, left: Value, right: Value, id: number, leftId: number, rightId: number): Value;
  /** The present value of a number that structure depends on. */
  demand(node: number): number;
  /** Items that vary as one does, each on its own. */
  copies(quantity: Quantity, count: number, id: number): Value[];
  corners(value: Value, id: number): Value;
  sweep(binders: readonly Binder[], env: Environment | null, body: (env: Environment | null, parts: readonly CasePart[], values: readonly Value[]) => void, trial?: (env: Environment | null) => void): boolean;
}

export interface BuiltinFunction {
  readonly signature: string;
  readonly doc: string;
  call(elaborator: Elaboration, call: Call, env: Environment | null): Value;
}

/** Entry of the record that `knots` gives: the range whose breakpoints a sweep finds. */
export const KNOTS = '*knots';

export function choiceLabels(term: LoadTerm): CasePart[] {
  if (term.kind === 'single') return [...term.choices.values()].map(choice => choice.label);
  const inner = term.terms.flatMap(choiceLabels);
  return term.kind === 'rss' && term.sign !== 0 ? [...inner, { kind: 'text', text: term.sign > 0 ? '+rss' : '−rss' }] : inner;
}
