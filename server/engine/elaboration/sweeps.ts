/**
 * Sweeps (`for L in loads, t in -20 degC .. 60 degC step 10 K`): the values that names run over, and the names of the
 * cases.
 */
import type { Argument, Binder } from '../../model/expression.js';
import type { Entity } from '../../model/namespace.js';
import { dimensionName, DIMENSIONLESS } from '../../units/index.js';
import { printQuantity } from '../values/describe.js';
import { choiceLabels, KNOTS, type Elaboration, type Environment } from './elaboration.js';
import { betweenCorners, sweptSource } from './loads.js';
import { rowRecord } from './rows.js';
import {
  describeKind,
  isPoison,
  POISON,
  type CasePart,
  type Quantity,
  type RowsValue,
  type Value,
} from '../values/value.js';
import { readNumber } from './quantities.js';
import { columnsOf } from '../../model/statements.js';

export const MOST_ROWS = 100_000;
const CASE_COST = 10;

/** What is done with each case of a sweep. */
export type CaseBody = (env: Environment | null, parts: readonly CasePart[], values: readonly Value[]) => void;
/** Reads what is swept without keeping it, for the tables that it asks. */
export type CaseTrial = (env: Environment | null) => void;

interface Sweep {
  readonly binders: readonly Binder[];
  readonly body: CaseBody;
  readonly trial: CaseTrial;
  /** Told of a name that runs over nothing, where that leaves a case out unseen. */
  readonly empty: (binder: Binder) => void;
  rows: number;
}

/**
 * Calls `body` for every combination of the binders, a later one seeing the earlier. Stops with a finding beyond the
 * largest sweep.
 */
export function sweep(
  elaborator: Elaboration,
  binders: readonly Binder[],
  env: Environment | null,
  body: CaseBody,
  trial: CaseTrial = inner => body(inner, [], []),
  empty: (binder: Binder) => void = () => undefined,
): boolean {
  return sweepFrom(elaborator, { binders, body, trial, empty, rows: 0 }, 0, env, [], []);
}

function sweepFrom(
  elaborator: Elaboration,
  sweep: Sweep,
  at: number,
  env: Environment | null,
  parts: readonly CasePart[],
  values: readonly Value[],
): boolean {
  const { binders } = sweep;
  if (at === binders.length) {
    if (++sweep.rows > MOST_ROWS) {
      elaborator.problem('sweep-too-large', binders[0]!.domain.id, { most: String(MOST_ROWS) });
      return false;
    }
    // A case costs more than the expressions in it: its name, its bindings, its place in a list.
    elaborator.budget.spend(CASE_COST);
    sweep.body(env, parts, values);
    return true;
  }
  const binder = binders[at]!;
  if (binder.isState) elaborator.problem('state-outside-fold', binder.id, { name: binder.name });
  const domain = binder.isState ? POISON : elaborator.expression(binder.domain, env);
  const items = domainOf(elaborator, domain, binder, env, inner =>
    trialSweep(elaborator, binders, at + 1, inner, sweep.trial),
  );
  if (!items) {
    // The rest is still checked once, with nothing known of this name.
    const bound: Environment = { name: binder.name, value: isPoison(domain) ? domain : POISON, parent: env };
    sweepFrom(elaborator, sweep, at + 1, bound, parts, values);
    return false;
  }
  if (items.length === 0) sweep.empty(binder);
  let complete = true;
  for (const item of items) {
    const bound: Environment = { name: binder.name, value: item.value, parent: env };
    if (
      !sweepFrom(
        elaborator,
        sweep,
        at + 1,
        bound,
        parts.length === 0 ? item.parts : [...parts, ...item.parts],
        values.length === 0 ? [item.value] : [...values, item.value],
      )
    )
      complete = false;
    if (sweep.rows > MOST_ROWS) return false;
    if (bound.used) elaborator.usedBinders.add(binder.id);
  }
  return complete;
}

function trialSweep(
  elaborator: Elaboration,
  binders: readonly Binder[],
  at: number,
  env: Environment | null,
  trial: CaseTrial,
): void {
  let left = 64;
  const run = (index: number, inner: Environment | null): void => {
    if (left <= 0) return;
    if (index === binders.length) {
      left--;
      trial(inner);
      return;
    }
    const binder = binders[index]!;
    const items = domainOf(elaborator, elaborator.expression(binder.domain, inner), binder, inner, () => undefined);
    for (const item of items ?? []) run(index + 1, { name: binder.name, value: item.value, parent: inner });
  };
  run(at, env);
}

/** The values that a name takes in a sweep, each with its piece of the case's name. */
function domainOf(
  elaborator: Elaboration,
  domain: Value,
  binder: Binder,
  env: Environment | null,
  trial: (env: Environment) => void,
): { value: Value; parts: readonly CasePart[] }[] | null {
  const plain = (value: Value): { value: Value; parts: readonly CasePart[] } => ({
    value,
    parts: caseParts(binder.name, value),
  });
  switch (domain.kind) {
    case 'poison':
      return null;
    case 'list': {
      // Items of a range without what lies between them can't be taken for the range.
      if (domain.partial) {
        elaborator.listsSome = true;
        if (elaborator.continuous) elaborator.broken = true;
      }
      const cases = betweenCorners(elaborator, domain.items, String(binder.id));
      if (cases) {
        elaborator.listsSome = true;
        if (elaborator.continuous) return cases.map(plain);
      }
      if (domain.labels)
        return domain.items.map((item, i) => ({ value: item, parts: [{ kind: 'text', text: domain.labels![i]! }] }));
      return domain.items.map(plain);
    }
    case 'rows':
      if (domain.data.length > MOST_ROWS) {
        elaborator.problem('sweep-too-large', binder.domain.id, { most: String(MOST_ROWS) });
        return null;
      }
      return Array.from({ length: domain.data.length }, (_, i) => ({
        value: rowRecord(elaborator.builder, domain, i),
        parts: [{ kind: 'text' as const, text: rowName(domain, i) }],
      }));
    case 'entity':
      if (columnsOf(domain.entity).length > 0)
        return domainOf(elaborator, elaborator.host.rows(domain.entity), binder, env, trial);
      if (domain.entity.kind === 'load' || domain.entity.kind === 'case') return [plain(domain)];
      break;
    case 'load':
      return [plain(domain)];
    case 'record': {
      const knots = domain.entries.get(KNOTS);
      if (knots?.kind === 'range') elaborator.listsSome = true;
      if (knots?.kind === 'range' && elaborator.continuous)
        return [anywhereIn(elaborator, knots.low, knots.high, binder)];
      if (knots?.kind === 'range')
        return knotsBetween(elaborator, knots.low, knots.high, binder, env, trial).map(plain);
      break;
    }
    case 'range':
      // Whole numbers are counted; everything else is run over.
      if (domain.low.dimension !== DIMENSIONLESS || binder.step) {
        elaborator.listsSome = true;
        if (elaborator.continuous) return [anywhereIn(elaborator, domain.low, domain.high, binder)];
      }
      return stepsBetween(elaborator, domain.low, domain.high, binder, env)?.map(plain) ?? null;
  }
  elaborator.problem('not-a-sweep', binder.domain.id, { found: describeKind(domain) });
  return null;
}

/** A value anywhere in a range. */
function anywhereIn(
  elaborator: Elaboration,
  low: Quantity,
  high: Quantity,
  binder: Binder,
): { value: Value; parts: readonly CasePart[] } {
  const { dimension, point, unit } = low;
  const node = sweptSource(elaborator, String(binder.id), binder.name, low.node, high.node);
  const part: CasePart = {
    kind: 'between',
    name: point ? '' : binder.name,
    node,
    angle: null,
    dimension,
    point,
    unit,
    ends: [low.node, high.node],
    ofLoad: false,
  };
  return { value: { ...low, node }, parts: [part] };
}

function stepsBetween(
  elaborator: Elaboration,
  low: Quantity,
  high: Quantity,
  binder: Binder,
  env: Environment | null,
): Quantity[] | null {
  let step = 1;
  if (binder.step) {
    const given =
      binder.step.kind === 'number'
        ? readNumber(elaborator, binder.step.text, binder.step.unitText, binder.step.id, true)
        : elaborator.expression(binder.step, env);
    if (isPoison(given)) return null;
    if (given.kind !== 'quantity' || given.dimension !== low.dimension || given.point) {
      elaborator.problem('step-dimension', binder.step.id, { wanted: dimensionName(low.dimension) });
      return null;
    }
    step = elaborator.demand(given.node);
  } else if (low.dimension !== DIMENSIONLESS) {
    elaborator.problem('range-without-step', binder.domain.id, {});
    return null;
  }
  const [from, to] = [elaborator.demand(low.node), elaborator.demand(high.node)];
  if (from !== from || to !== to || !(step > 0)) {
    elaborator.problem('sweep-undetermined', binder.domain.id, {});
    return null;
  }
  const count = Math.floor((to - from) / step + 1e-9) + 1;
  if (count > MOST_ROWS) {
    elaborator.problem('sweep-too-large', binder.domain.id, { most: String(MOST_ROWS) });
    return null;
  }
  const values = Array.from({ length: Math.max(0, count) }, (_, i) => from + i * step);
  // The end belongs to the range, wherever the steps come to.
  if (binder.step && from + (count - 1) * step < to - 1e-9 * step) values.push(to);
  return values.map(x => ({ ...low, node: elaborator.builder.constant(x) }));
}

/** The ends of a range and every breakpoint between them of a table that the swept expression asks with this name. */
function knotsBetween(
  elaborator: Elaboration,
  low: Quantity,
  high: Quantity,
  binder: Binder,
  env: Environment | null,
  trial: (env: Environment) => void,
): Quantity[] {
  const [from, to] = [elaborator.demand(low.node), elaborator.demand(high.node)];
  if (from === to) return [low];
  const inner = elaborator.breakpoints(sweepKey(elaborator, binder, from, to, env), from, to, parameter =>
    trial({ name: binder.name, value: { ...low, node: parameter }, parent: env }),
  );
  const between = [...new Set(inner)]
    .sort((x, y) => x - y)
    .map(x => ({ ...low, node: elaborator.builder.constant(x) }));
  return [low, ...between, high];
}

/** What may decide which tables a sweep asks; null where that can't be told. */
function sweepKey(
  elaborator: Elaboration,
  binder: Binder,
  from: number,
  to: number,
  env: Environment | null,
): string | null {
  const parts = [binder.id, from, to] as (string | number)[];
  for (let at = env; at; at = at.parent) {
    const { value } = at;
    if (value.kind === 'load') parts.push(value.name);
    else if (value.kind === 'entity') parts.push(value.entity.key);
    else if (value.kind === 'text') parts.push(value.text);
    else if (value.kind === 'quantity' && elaborator.builder.isConstant(value.node))
      parts.push(elaborator.builder.peek(value.node));
    else return null;
  }
  return `${elaborator.item.name} ${parts.join(' ')}`;
}

/** A row of a data file by its number and by the first text in it: "Interface row 2 (Lift-off)". */
function rowName({ source, data }: RowsValue, row: number): string {
  const texts = [...data.columns.values()].find(column => column.kind === 'texts');
  const said = texts?.kind === 'texts' ? texts.texts[row]?.trim() : '';
  return `${source.name} row ${row + 1}${said ? ` (${said})` : ''}`;
}

function caseParts(name: string, value: Value): readonly CasePart[] {
  switch (value.kind) {
    case 'load':
      return [{ kind: 'text', text: value.name }, ...choiceLabels(value.term)];
    case 'entity':
      return entityParts(value.entity);
    case 'text':
    case 'date':
      return [{ kind: 'text', text: value.text }];
    case 'quantity':
      return [
        {
          kind: 'value',
          name: value.point ? '' : name,
          node: value.node,
          dimension: value.dimension,
          point: value.point,
          unit: value.unit,
        },
      ];
    default:
      return [];
  }
}

const partsOfEntities = new WeakMap<Entity, readonly CasePart[]>();

/** The name of an entity as a piece of the names of cases; one list for all of them. */
function entityParts(entity: Entity): readonly CasePart[] {
  let parts = partsOfEntities.get(entity);
  if (!parts) partsOfEntities.set(entity, (parts = [{ kind: 'text', text: entity.name }]));
  return parts;
}

/** What a comprehension argument (`for p in xs where …: p.mass`) runs over, or the items of a list argument. */
/** One of several values, and what it is called where it governs: few are, so names are made when asked for. */
export interface Listed {
  readonly value: Value;
  readonly label: () => string;
}

export interface EachValue {
  /** What is listed: each item, each corner, each breakpoint. */
  readonly listed: readonly Listed[];
  /** What stands for everything between, where a range is run over; `test`: the truth of its `where`. */
  readonly between: readonly { readonly value: Value; readonly test: number | null }[];
  /** Keys of the ranges that `between` runs over. */
  readonly sources: readonly string[];
  /** Whether what lies between can be followed. */
  readonly followed: boolean;
  /** Whether more lies between what is listed. */
  readonly partial: boolean;
}

/** `andBetween`: whether what lies between the listed values counts. */
export function eachValue(
  elaborator: Elaboration,
  argument: Argument,
  env: Environment | null,
  andBetween = false,
): EachValue | null {
  if (argument.form !== 'each') {
    const items = itemsOf(elaborator, elaborator.expression(argument.value, env));
    return items && { listed: items.map(plainItem), ...NOTHING_BETWEEN, partial: false };
  }
  const { continuous, listsSome, broken } = elaborator;
  elaborator.continuous = false;
  elaborator.listsSome = false;
  const listed = listEach(elaborator, argument, env);
  const between =
    listed && andBetween && elaborator.listsSome ? betweenEach(elaborator, argument, env) : NOTHING_BETWEEN;
  const partial = elaborator.listsSome;
  elaborator.continuous = continuous;
  elaborator.listsSome = listsSome;
  elaborator.broken = broken;
  return listed && { listed, ...between, partial };
}

const NOTHING_BETWEEN = { between: [], sources: [], followed: true };
const plainItem = (value: Value, i: number): Listed => ({ value, label: () => `item ${i + 1}` });

function itemsOf(elaborator: Elaboration, value: Value): readonly Value[] | null {
  if (value.kind === 'list') return value.items;
  if (value.kind !== 'vector') return null;
  return value.nodes.map(node => elaborator.quantity(node, value.dimension, value.unit));
}

function listEach(elaborator: Elaboration, argument: Argument, env: Environment | null): Listed[] | null {
  const values: Listed[] = [];
  const { instance } = elaborator;
  let known = true;
  const complete = sweep(
    elaborator,
    argument.binders,
    env,
    (inner, parts) => {
      if (argument.condition) {
        const kept = isKept(elaborator, elaborator.expression(argument.condition, inner), argument.condition.id);
        if (kept === null) known = false;
        if (kept !== true) return;
      }
      elaborator.instance = `${instance}/${argument.id}#${values.length}`;
      values.push({
        value: elaborator.expression(argument.value, inner),
        label: () => parts.map(part => partText(elaborator, part)).join(' '),
      });
      elaborator.instance = instance;
    },
    inner => void elaborator.expression(argument.value, inner),
  );
  return complete && known ? values : null;
}

/** Whether a filter keeps a value; null where nobody can tell. */
export function isKept(elaborator: Elaboration, test: Value, id: number): boolean | null {
  if (isPoison(test)) return null;
  if (test.kind !== 'truth') {
    elaborator.problem('condition-expected', id, { found: describeKind(test) });
    return null;
  }
  const number = elaborator.demand(test.node);
  if (number !== number) elaborator.problem('filter-undetermined', id);
  return number !== number ? null : number === 1;
}

/** The values once more, with ranges as sources of variation. */
function betweenEach(
  elaborator: Elaboration,
  argument: Argument,
  env: Environment | null,
): Pick<EachValue, 'between' | 'sources' | 'followed'> {
  const between: { value: Value; test: number | null }[] = [];
  const { instance, sweptKeys } = elaborator;
  const before = sweptKeys.length;
  elaborator.continuous = true;
  elaborator.broken = false;
  elaborator.instance = `${instance}/${argument.id}~`;
  const complete = elaborator.quietly(() =>
    sweep(elaborator, argument.binders, env, inner => {
      const test = argument.condition ? elaborator.expression(argument.condition, inner) : null;
      const value = elaborator.expression(argument.value, inner);
      if (isPoison(value) || (test && test.kind !== 'truth')) elaborator.broken = true;
      else between.push({ value, test: test?.kind === 'truth' ? test.node : null });
    }),
  );
  elaborator.instance = instance;
  // Ranges of folds inside are theirs alone.
  return { between, sources: sweptKeys.splice(before), followed: complete && !elaborator.broken };
}

function partText(elaborator: Elaboration, part: CasePart): string {
  if (part.kind === 'text') return part.text;
  if (part.kind === 'between') return part.name;
  if (part.kind === 'sign') return `${elaborator.builder.value(part.node) < 0 ? '−' : '+'}${part.field}`;
  return `${part.name ? `${part.name} = ` : ''}${printQuantity(elaborator.builder.value(part.node), part.dimension, part.unit, part.point, null)}`;
}
