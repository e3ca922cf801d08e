/**
 * Elaboration: an expression with its names becomes structure (loads, lists, tables, rows of a sweep) over numbers that
 * are entries of
 * the arena. Dimensions are checked on the way, so nothing needs to have a value for them to be right or wrong. What
 * depends on
 * numbers only runs again without elaboration; what depends on structure is elaborated again when that moves.
 *
 * Here is the state of one elaboration; what each expression comes to is in `expressions/`.
 */
import type { FindingCode } from '../../language/index.js';
import { Budget, isCalendarDate } from '../../base/index.js';
import { LIBRARY, type Item, type TypeExpression, type ValueItem } from '../../model/declaration.js';
import type { Binder, Expression, Member } from '../../model/expression.js';
import type { Entity } from '../../model/namespace.js';
import type { Dimension, Unit } from '../../units/index.js';
import type { Builder } from '../values/builder.js';
import { VARIES_IN_SWEEP } from '../operations/op.js';
import type { Elaboration, Environment, Guard, Host, Problem } from './elaboration.js';
import { call } from './calls.js';
import { chain, conditional } from './conditions.js';
import { memberOf, resolveLabel, resolveName } from './names.js';
import { binary, unary } from './operators.js';
import { convert, readNumber, toBeDetermined, tolerance } from './quantities.js';
import { group, itemAt, record } from './structures.js';
import { sweep, type CaseBody, type CaseTrial } from './sweeps.js';
import { tableOf } from './tables.js';
import { printText } from './texts.js';
import { typed } from './types.js';
import {
  POISON,
  type Condition,
  type Place,
  type Poison,
  type Quantity,
  type Reason,
  type Truth,
  type Value,
  type Vector,
} from '../values/value.js';

const DEEPEST_CALL = 48;
/** Expressions that one item may come to, with all formulas, folds and rows in it: about a second. */
export const MOST_STEPS = 4_000_000;
/** What may be done for an answer that somebody waits for: a fraction of a second. */
export const MOST_STEPS_ASKED = 100_000;
const DEEPEST_EXPRESSION = 2_000;

export class Elaborator implements Elaboration {
  readonly problems: Problem[] = [];
  readonly guarded: Guard[] = [];
  readonly usedBinders = new Set<number>();
  allDirections = false;
  directionsUsed = false;
  continuous = false;
  listsSome = false;
  broken = false;
  readonly sweptKeys: string[] = [];
  path: string[] = [];
  instance = '';
  /** Numbers of expressions in the item itself, kept when a calculation is to be explained. */
  trace: Map<number, Value> | undefined;
  resolved = new Map<string, Value>();
  private scopes: Map<Entity, Map<Entity, Map<string, Value>>> | null = null;
  private seen: Set<string> | null = null;
  private readonly calls: { readonly item: ValueItem; readonly owner: Item; readonly id: number }[] = [];
  private depth = 0;
  private muted = 0;
  /** Breakpoints found before; which tables are asked does not depend on the corner of a load. */
  private breakpointsFound: Map<string, readonly number[]> | null = null;

  constructor(
    readonly host: Host,
    readonly builder: Builder,
    readonly root: Item,
    public scope: Entity,
    readonly budget = new Budget(MOST_STEPS),
    public item: Item = root,
  ) {}

  /** Reports a problem where the engineer can mend it: inside the library's formulas that is the call. */
  problem(code: FindingCode, id: number, data: Readonly<Record<string, string>> = {}): Poison {
    const call = this.calls.find(frame => frame.item.placement.file.startsWith(LIBRARY));
    const place: Place =
      this.item.placement.file.startsWith(LIBRARY) && call
        ? { owner: call.owner, id: call.id }
        : { owner: this.item, id };
    const reason: Reason = { code, data, place };
    const key = `${code} ${place.owner.placement.file} ${place.owner.placement.start} ${place.owner.spans[place.id * 2]}`;
    if (this.muted === 0 && !this.seen?.has(key)) {
      (this.seen ??= new Set()).add(key);
      this.problems.push({ code, place, data });
    }
    return { kind: 'poison', reason };
  }

  expression(e: Expression, env: Environment | null): Value {
    this.budget.spend(1);
    if (++this.depth > DEEPEST_EXPRESSION) {
      this.depth--;
      return this.problem('expression-too-deep', e.id);
    }
    const value = this.evaluate(e, env);
    this.depth--;
    if (this.trace && this.item === this.root) this.trace.set(e.id, value);
    return value;
  }

  private evaluate(e: Expression, env: Environment | null): Value {
    switch (e.kind) {
      case 'number':
        return readNumber(this, e.text, e.unitText, e.id, false);
      case 'text':
        return { kind: 'text', text: printText(this, e.segments, env) };
      case 'date':
        return isCalendarDate(e.text)
          ? { kind: 'date', text: e.text }
          : this.problem('not-a-date', e.id, { text: e.text });
      case 'truth':
        return this.truth(this.builder.constant(e.value ? 1 : 0));
      case 'name':
        return resolveName(this, e.name, e.id, env);
      case 'label':
        return resolveLabel(this, e.label, e.id);
      case 'member':
        return this.member(e, env);
      case 'call':
        return call(this, e, env);
      case 'index':
        return itemAt(this, this.expression(e.receiver, env), this.expression(e.index, env), e.id);
      case 'unary':
        return unary(this, e.operator, this.expression(e.operand, env), e.id);
      case 'binary':
        return binary(
          this,
          e.operator,
          this.expression(e.left, env),
          this.expression(e.right, env),
          e.id,
          e.left.id,
          e.right.id,
        );
      case 'chain':
        return chain(
          this,
          e.operators,
          e.operands.map(operand => this.expression(operand, env)),
          e.id,
          e.operands,
        );
      case 'conditional':
        return conditional(this, e.condition, e.yes, e.no, e.id, env);
      case 'list':
        return { kind: 'list', items: e.items.map(item => this.expression(item, env)) };
      case 'group':
        return group(
          this,
          e.items.map(item => this.expression(item, env)),
        );
      case 'record':
        return record(this, e.entries, env);
      case 'table':
        return tableOf(this, e, env, e.inputs);
      case 'tolerance':
        return tolerance(this, e, env);
      case 'conversion':
        return convert(this, this.expression(e.value, env), e.unitText, e.id);
      case 'tbd':
        return toBeDetermined(this, e.unitText, e.id);
      case 'missing':
        return POISON;
    }
  }

  /** An isotropic property of a material is the same along each of its directions: `material.yield.x` of a metal. */
  private member({ receiver, name, nameId }: Member, env: Environment | null): Value {
    const value = this.expression(receiver, env);
    const isScalar = value.kind === 'table' || (value.kind === 'quantity' && !value.direction);
    if (isScalar && /^[xyz]{1,2}$/.test(name) && receiver.kind === 'member') {
      const owner = this.expression(receiver.receiver, env);
      if (owner.kind === 'entity' && owner.entity.kind === 'material') return value;
    }
    return memberOf(this, value, name, nameId);
  }

  quantity(node: number, dimension: Dimension, unit: Unit | null = null, point = false): Quantity {
    return { kind: 'quantity', node, dimension, point, unit };
  }

  truth(node: number, condition: Condition | null = null): Truth {
    return { kind: 'truth', node, condition };
  }

  vector(nodes: readonly number[], dimension: Dimension, unit: Unit | null = null): Vector {
    return { kind: 'vector', nodes: [nodes[0]!, nodes[1]!, nodes[2]!], dimension, unit };
  }

  /** A value of which only the type is known. */
  typed(type: TypeExpression | null, id: number): Value {
    return typed(this, type, id);
  }

  /** Calls `body` for every combination of what the names of a sweep stand for. */
  sweep(binders: readonly Binder[], env: Environment | null, body: CaseBody, trial?: CaseTrial): boolean {
    return sweep(this, binders, env, body, trial);
  }

  demand(node: number): number {
    if (this.builder.variation(node) & VARIES_IN_SWEEP) this.broken = true;
    const value = this.builder.value(node);
    if (!this.builder.isConstant(node)) this.host.demands(node, value);
    return value;
  }

  inItem<T>(item: Item, scope: Entity, read: () => T): T {
    const { item: outerItem, scope: outerScope, path: outerPath, resolved: outerResolved } = this;
    this.item = item;
    this.path = [];
    // What an instance has of a kind of a library sees other names than what is written in it.
    if (scope !== outerScope || this.topOf(item) !== this.topOf(outerItem)) {
      this.resolved = this.resolvedIn(scope, this.topOf(item), outerScope, this.topOf(outerItem));
      this.scope = scope;
    }
    const result = read();
    this.item = outerItem;
    this.scope = outerScope;
    this.path = outerPath;
    this.resolved = outerResolved;
    return result;
  }

  private topOf(item: Item): Entity {
    return this.host.namespace.topOf(item.placement.file);
  }

  /** By scope, and what holds the top of the file in which is written what is looked up. */
  private resolvedIn(scope: Entity, top: Entity, outerScope: Entity, outerTop: Entity): Map<string, Value> {
    this.scopes ??= new Map([[outerTop, new Map([[outerScope, this.resolved]])]]);
    let scopes = this.scopes.get(top);
    if (!scopes) this.scopes.set(top, (scopes = new Map()));
    let resolved = scopes.get(scope);
    if (!resolved) scopes.set(scope, (resolved = new Map()));
    return resolved;
  }

  mayCall(item: ValueItem): boolean {
    return !this.calls.some(frame => frame.item === item) && this.calls.length < DEEPEST_CALL;
  }

  inCall<T>(item: ValueItem, scope: Entity, id: number, read: () => T): T {
    this.host.calls(item);
    const { instance } = this;
    // A tolerance that is written in the formula is another in each call.
    this.instance = `${instance}/${this.item.name}:${id}`;
    this.calls.push({ item, owner: this.item, id });
    const result = this.inItem(item, scope, read);
    this.calls.pop();
    this.instance = instance;
    return result;
  }

  quietly<T>(read: () => T): T {
    this.muted++;
    try {
      return read();
    } finally {
      this.muted--;
    }
  }

  get trying(): boolean {
    return this.muted > 0;
  }

  breakpoints(key: string | null, from: number, to: number, trial: (parameter: number) => void): readonly number[] {
    const known = key === null ? undefined : this.breakpointsFound?.get(key);
    if (known) return known;
    const found = this.quietly(() => this.builder.breakpoints(from, to, trial)).filter(x => x > from && x < to);
    if (key !== null) (this.breakpointsFound ??= new Map()).set(key, found);
    return found;
  }
}
