/**
 * Elaboration: an expression with its names becomes structure (loads, lists, tables, rows of a sweep) over numbers that are entries of
 * the arena. Dimensions are checked on the way, so nothing needs to have a value for them to be right or wrong. What depends on
 * numbers only runs again without elaboration; what depends on structure is elaborated again when that moves.
 */
import type { Annotations, Argument, Binder, BinaryOperator, Call, Comparison, Expression, Interpolation, Member, Table as TableExpression } from '../model/expression.js';
import type { Item, Parameter, TypeExpression, ValueItem } from '../model/declaration.js';
import type { Entity } from '../model/namespace.js';
import { nearest } from '../base/index.js';
import { isCalculated } from '../model/blocks.js';
import { canRaise, dimensionName, DIMENSIONLESS, divide, isUnit, multiply, parseDimension, parseUnit, power, TEMPERATURE, toSI, type Dimension, type Unit } from '../units/index.js';
import type { Builder } from './builder.js';
import { BUILTINS, CONSTANTS } from './builtins.js';
import { dimensionWords, entityValue, isLoad, printQuantity, titleOf } from './describe.js';
import { choiceLabels, KNOTS, type Elaboration, type Environment, type Host, type Problem } from './elaboration.js';
import { corners, loadMember, loadTerm } from './loads.js';
import { Op } from './operations.js';
import { cellValue, columnValues, matchingRows, rowRecord } from './rows.js';
import type { TableData } from './table.js';
import { describeKind, isPoison, mapNodes, POISON, type CasePart, type Condition, type FormulaValue, type Origin, type Place, type Poison, type Quantity, type Reason, type RecordValue, type TableInput, type TableValue, type Truth, type Value, type Vector } from './value.js';

export const MOST_ROWS = 100_000;
const DEEPEST_CALL = 48;
const DEEPEST_EXPRESSION = 2_000;

export class Elaborator implements Elaboration {
  readonly problems: Problem[] = [];
  private seen: Set<string> | null = null;
  private path: string[] = [];
  private readonly calls: { readonly item: ValueItem; readonly owner: Item; readonly id: number }[] = [];
  private depth = 0;
  private muted = 0;
  /** Numbers of expressions in the item itself, kept when a calculation is to be explained. */
  trace: Map<number, Value> | undefined;

  constructor(readonly host: Host, readonly builder: Builder, readonly root: Item, public scope: Entity, public item: Item = root) {}

  // ---- problems ---------------------------------------------------------------------------------------------------------

  /** Reports a problem where the engineer can mend it: inside the library's formulas that is the call. */
  problem(code: string, id: number, data: Readonly<Record<string, string>> = {}): Poison {
    const call = this.calls.find(frame => frame.item.placement.file.startsWith(LIBRARY_SCHEME));
    const place: Place = this.item.placement.file.startsWith(LIBRARY_SCHEME) && call ? { owner: call.owner, id: call.id } : { owner: this.item, id };
    const reason: Reason = { code, data, place };
    const key = `${code} ${place.owner.placement.file} ${place.owner.placement.start} ${place.owner.spans[place.id * 2]}`;
    if (this.muted === 0 && !this.seen?.has(key)) {
      (this.seen ??= new Set()).add(key);
      this.problems.push({ code, place, data });
    }
    return { kind: 'poison', reason };
  }

  // ---- expressions ------------------------------------------------------------------------------------------------------

  expression(e: Expression, env: Environment | null): Value {
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
      case 'number': return this.number(e.text, e.unitText, e.id, false);
      case 'text': return { kind: 'text', text: this.text(e.segments, env) };
      case 'date': return { kind: 'date', text: e.text };
      case 'truth': return this.truth(this.builder.constant(e.value ? 1 : 0));
      case 'name': return this.name(e.name, e.id, env);
      case 'label': return this.label(e.label, e.id);
      case 'member': return this.member(e, env);
      case 'call': return this.call(e, env);
      case 'index': return this.index(this.expression(e.receiver, env), this.expression(e.index, env), e.id);
      case 'unary': return this.unary(e.operator, this.expression(e.operand, env), e.id);
      case 'binary': return this.binary(e.operator, this.expression(e.left, env), this.expression(e.right, env), e.id, e.left.id, e.right.id);
      case 'chain': return this.chain(e.operators, e.operands.map(operand => this.expression(operand, env)), e.id, e.operands);
      case 'conditional': return this.conditional(e.condition, e.yes, e.no, e.id, env);
      case 'list': return { kind: 'list', items: e.items.map(item => this.expression(item, env)) };
      case 'group': return this.group(e.items.map(item => this.expression(item, env)));
      case 'record': return this.record(e.entries, env);
      case 'table': return this.table(e, env, e.inputs);
      case 'tolerance': return this.tolerance(e, env);
      case 'conversion': return this.conversion(this.expression(e.value, env), e.unitText, e.id);
      case 'tbd': return this.toBeDetermined(e.unitText, e.id);
      case 'missing': return POISON;
    }
  }

  quantity(node: number, dimension: Dimension, unit: Unit | null = null, point = false): Quantity {
    return { kind: 'quantity', node, dimension, point, unit };
  }

  truth(node: number, condition: Condition | null = null): Truth {
    return { kind: 'truth', node, condition };
  }

  /** A check reads the sides of its comparison; a number for its truth is made only for what reads that. */
  private lazyTruth(make: () => number, condition: Condition): Truth {
    const { builder } = this;
    let [node, made] = [-1, -1];
    return { kind: 'truth', condition, get node() {
      // What was made while looking ahead was taken back.
      if (made !== builder.takenBack) [node, made] = [make(), builder.takenBack];
      return node;
    } };
  }

  unit(text: string, id: number): Unit | null {
    const parsed = parseUnit(text);
    if (isUnit(parsed)) return parsed;
    this.host.looksUp('*unit');
    const declared = parseUnit(text, this.host.units);
    if (isUnit(declared)) return declared;
    const name = text.split(/[*/^()]+/).find(part => part !== '' && !isUnit(parseUnit(part, this.host.units)) && this.sees(part));
    if (name !== undefined && name !== text) {
      const spaced = text.replace(/[*/^]/g, ' $& ');
      this.problem('unknown-unit', id, { unit: text, message: `${text} is read as one unit, and ${name} is a value here: put spaces round the operator, ${spaced}.`, suggestion: spaced });
    } else this.problem('unknown-unit', id, { unit: text, message: parsed.message, suggestion: parsed.suggestion ?? '' });
    return null;
  }

  /** Whether a value of this name can be seen from here. */
  private sees(name: string): boolean {
    this.host.looksUp(name);
    for (let at: Entity | null = this.scope; at; at = at.parent) if (this.host.itemOf(at, name)) return true;
    return this.host.itemOf(this.host.namespace.root, name) !== undefined;
  }

  private number(text: string, unitText: string | null, id: number, difference: boolean): Value {
    if (unitText === null) return this.quantity(this.constant(Number(text), id), DIMENSIONLESS);
    const unit = this.unit(unitText, id);
    if (!unit) return POISON;
    return this.quantity(this.constant(toSI(unit, text, { difference }), id), unit.dimension, unit, unit.isPoint && !difference);
  }

  private constant(value: number, id: number): number {
    if (Number.isFinite(value)) return this.builder.constant(value);
    this.problem('number-out-of-range', id);
    return this.builder.undetermined('number-out-of-range', {}, { owner: this.item, id });
  }

  private toBeDetermined(unitText: string | null, id: number): Value {
    const unit = unitText === null ? null : this.unit(unitText, id);
    if (unitText !== null && !unit) return POISON;
    const node = this.builder.undetermined('tbd', { what: [this.scope.path, this.item.name, ...this.path].filter(Boolean).join('.') }, { owner: this.item, id });
    return this.quantity(node, unit?.dimension ?? DIMENSIONLESS, unit, unit?.isPoint ?? false);
  }

  text(segments: readonly (string | { readonly value: Expression; readonly unitText: string | null; readonly digits: number | null })[], env: Environment | null): string {
    return segments.map(segment => typeof segment === 'string' ? segment : this.print(this.expression(segment.value, env), segment)).join('');
  }

  private print(value: Value, how: { readonly unitText: string | null; readonly digits: number | null; readonly value: Expression }): string {
    switch (value.kind) {
      case 'quantity': {
        const unit = how.unitText ? this.unit(how.unitText, how.value.id) : value.unit;
        this.host.demands(value.node, this.builder.value(value.node));
        return printQuantity(this.builder.value(value.node), value.dimension, unit, value.point, how.digits);
      }
      case 'text': case 'date': return value.text;
      case 'truth': return this.builder.value(value.node) === 1 ? 'true' : 'false';
      case 'entity': return value.entity.name;
      case 'load': return value.name;
      case 'list': return value.items.map(item => this.print(item, how)).join(', ');
      default: return '?';
    }
  }

  // ---- names ------------------------------------------------------------------------------------------------------------

  name(name: string, id: number, env: Environment | null): Value {
    for (let at = env; at; at = at.parent) if (at.name === name) {
      at.used = true;
      return at.value;
    }
    this.host.looksUp(name);
    const found = this.lookUp(name, this.scope, id);
    if (found) return found;
    if (CONSTANTS.has(name)) return this.quantity(this.builder.constant(CONSTANTS.get(name)!), DIMENSIONLESS);
    if (BUILTINS.has(name)) return { kind: 'builtin', name };
    if (name === 'X' || name === 'Y' || name === 'Z') return { kind: 'text', text: name };
    return this.problem('unknown-name', id, { name, similar: this.similar(name) ?? '' });
  }

  private lookUp(name: string, from: Entity, id: number): Value | undefined {
    for (let at: Entity | null = from; at; at = at.parent) {
      const value = this.valueIn(at, name);
      if (value) return value;
      const member = at.members.get(name);
      if (member) return entityValue(member);
      if (at.template && at.parent?.base) {
        // A name in the body of a kind is looked up where the kind stands, before the place of its instance.
        const outer: Value | undefined = at.parent.base.parent ? this.outerOfKind(at.parent, name) : undefined;
        if (outer) return outer;
      }
      if (at.kind === 'part' && (name === 'name' || name === 'title')) return { kind: 'text', text: name === 'name' ? at.name : titleOf(at) };
      if (at.kind === 'kind') {
        const given = at.declaration.given.find(parameter => parameter.name === name);
        if (given) return this.typed(given.type, id);
        if (name === 'name' || name === 'title') return { kind: 'text', text: at.name };
      }
    }
    const entities = [...this.host.namespace.named(name)].filter(entity => !entity.template && !insideKind(entity));
    if (entities.length === 1) return entityValue(entities[0]!);
    if (entities.length > 1) {
      const outermost = entities.filter(entity => entity.parent?.kind === 'file');
      if (outermost.length === 1) return entityValue(outermost[0]!);
      return this.problem('ambiguous-name', id, { name, candidates: entities.map(entity => entity.path).sort().join(', ') });
    }
    const item = this.host.library.root.values.get(name);
    if (item) return item.parameters ? { kind: 'formula', item, scope: this.host.library.root } : this.host.read(this.host.library.root, item);
    return undefined;
  }

  private outerOfKind(instance: Entity, name: string): Value | undefined {
    const own = this.valueIn(instance, name);
    if (own) return own;
    for (let at: Entity | null = instance.base!.parent; at; at = at.parent) {
      const value = this.valueIn(at, name);
      if (value) return value;
      const member = at.members.get(name);
      if (member) return entityValue(member);
    }
    return undefined;
  }

  private valueIn(entity: Entity, name: string): Value | undefined {
    const found = this.host.itemOf(entity, name);
    if (!found) return undefined;
    const { item } = found;
    if (item.kind === 'unit' || !isCalculated(entity.kind, name)) return undefined;
    return item.parameters ? { kind: 'formula', item, scope: entity } : this.host.read(entity, item);
  }

  private similar(name: string): string | null {
    const names = new Set<string>([...BUILTINS.keys(), ...this.host.library.root.values.keys()]);
    for (let at: Entity | null = this.scope; at; at = at.parent) {
      for (const key of at.values.keys()) names.add(key);
      for (const key of at.members.keys()) names.add(key);
    }
    return nearest(name, names);
  }

  private label(label: string, id: number): Value {
    this.host.looksUp(label.split('/')[0]!);
    const found = this.host.namespace.labelled(label);
    if (found.length === 1) return entityValue(found[0]!);
    return found.length > 1 ? this.problem('ambiguous-name', id, { name: label, candidates: found.map(entity => entity.path).join(', ') }) : this.problem('unknown-label', id, { label });
  }

  private member(e: Member, env: Environment | null): Value {
    return this.memberOf(this.expression(e.receiver, env), e.name, e.nameId);
  }

  memberOf(receiver: Value, name: string, id: number): Value {
    switch (receiver.kind) {
      case 'poison': return receiver;
      case 'entity': return this.memberOfEntity(receiver.entity, name, id);
      case 'load': return loadMember(this, receiver.term, receiver.name, name, id);
      case 'vector': {
        const axis = 'xyz'.indexOf(name.toLowerCase());
        if (name.length === 1 && axis >= 0) return this.quantity(receiver.nodes[axis]!, receiver.dimension, receiver.unit);
        break;
      }
      case 'quantity':
        if (receiver.direction && (name === 'y' || name === 'z')) {
          this.directionsUsed = true;
          return this.quantity(this.builder.node(Op.Multiply, receiver.node, this.builder.constant(receiver.direction[name])), receiver.dimension, receiver.unit);
        }
        break;
      case 'record': {
        const entry = receiver.entries.get(name);
        if (entry) return entry;
        return this.problem('unknown-member', id, { name, of: 'this record', known: [...receiver.entries.keys()].join(', ') });
      }
      case 'rows':
        if (receiver.data.columns.has(name) && receiver.data.length > MOST_ROWS) return this.problem('sweep-too-large', id, { most: String(MOST_ROWS) });
        if (receiver.data.columns.has(name)) return columnValues(this.builder, receiver, name);
        return this.problem('unknown-member', id, { name, of: receiver.source.name, known: [...receiver.data.columns.keys()].join(', ') });
      case 'range':
        if (name === 'low' || name === 'high') return receiver[name];
        break;
    }
    return this.problem('no-member', id, { name, of: describeKind(receiver) });
  }

  private memberOfEntity(entity: Entity, name: string, id: number): Value {
    this.host.looksUp(name);
    if (entity.kind === 'load' || entity.kind === 'case') {
      const term = loadTerm(this, { kind: 'entity', entity }, id);
      if (term) return loadMember(this, term, entity.name, name, id);
    }
    if ((entity.kind === 'table' || entity.kind === 'results') && entity.declaration.columns.length > 0) {
      if (entity.kind === 'results') return this.resultColumn(entity, name, id);
      return this.memberOf(this.host.rows(entity), name, id);
    }
    const value = this.valueIn(entity, name);
    if (value) return value;
    const member = entity.members.get(name);
    if (member) return entityValue(member);
    if (name === 'name') return { kind: 'text', text: entity.name };
    if (name === 'title') return { kind: 'text', text: titleOf(entity) };
    const attribute = this.host.attribute(entity, name);
    if (attribute) return attribute;
    if (entity.kind === 'kind') {
      const given = entity.declaration.given.find(parameter => parameter.name === name);
      if (given) return this.typed(given.type, id);
    }
    const known = [...entity.values.keys(), ...entity.members.keys()];
    return this.problem('unknown-member', id, { name, of: entity.path || 'the project', known: known.slice(0, 12).join(', ') || 'nothing', similar: nearest(name, known) ?? '' });
  }

  /** `FE7.vm`: called with keys, `FE7.vm(part = BatteryTray, case = L)`. */
  private resultColumn(entity: Entity, name: string, id: number): Value {
    const column = entity.declaration.columns.find(candidate => candidate.name === name);
    if (!column) return this.problem('unknown-member', id, { name, of: entity.name, known: entity.declaration.columns.map(candidate => candidate.name).join(', ') });
    const rows = this.host.rows(entity);
    if (rows.kind !== 'rows') return rows;
    return { kind: 'record', entries: new Map<string, Value>([[RESULT_ROWS, rows], [RESULT_COLUMN, { kind: 'text', text: name }]]) };
  }

  private resultCall(column: RecordValue, e: Call, env: Environment | null): Value {
    const rows = column.entries.get(RESULT_ROWS)!;
    const name = (column.entries.get(RESULT_COLUMN) as { text: string }).text;
    if (rows.kind !== 'rows') return rows;
    const keys = e.arguments.map(argument => ({ name: argument.name ?? '', value: this.expression(argument.value, env) }));
    const poisoned = keys.find(key => isPoison(key.value));
    if (poisoned) return poisoned.value;
    const wanted = keys.map(key => ({ name: key.name, text: keyText(key.value, this) }));
    for (const key of wanted) if (!rows.data.columns.has(key.name)) return this.problem('unknown-member', e.id, { name: key.name, of: rows.source.name, known: [...rows.data.columns.keys()].join(', ') });
    const matching = matchingRows(rows.data, wanted);
    const said = wanted.map(key => `${key.name} = ${key.text}`).join(', ');
    if (matching.length === 0) {
      const declared = rows.source.declaration.columns.find(candidate => candidate.name === name);
      const unit = declared?.unitText ? parseUnit(declared.unitText) : null;
      this.problem('missing-result-row', e.id, { results: rows.source.name, keys: said });
      return this.quantity(this.builder.undetermined('missing-result-row', { results: rows.source.name, keys: said }, { owner: this.item, id: e.id }), unit && isUnit(unit) ? unit.dimension : DIMENSIONLESS, unit && isUnit(unit) ? unit : null);
    }
    if (matching.length === 1) return cellValue(this.builder, rows, name, matching[0]!);
    return this.problem('several-result-rows', e.id, { results: rows.source.name, keys: said, count: String(matching.length) });
  }

  // ---- operators --------------------------------------------------------------------------------------------------------

  unary(operator: '-' | '+' | 'not', operand: Value, id: number): Value {
    if (isPoison(operand)) return operand;
    if (operator === 'not') {
      if (operand.kind !== 'truth') return this.problem('condition-expected', id, { found: describeKind(operand) });
      const node = this.builder.node(Op.Not, operand.node);
      return this.truth(node, { kind: 'boolean', node });
    }
    if (operand.kind === 'vector') return operator === '+' ? operand : { ...operand, nodes: operand.nodes.map(node => this.builder.node(Op.Negate, node)) as unknown as [number, number, number] };
    if (operand.kind !== 'quantity') return this.problem('number-expected', id, { found: describeKind(operand) });
    if (operator === '+') return operand;
    if (operand.point) return this.problem('point-negated', id);
    return this.quantity(this.builder.node(Op.Negate, operand.node), operand.dimension, operand.unit);
  }

  binary(operator: BinaryOperator, left: Value, right: Value, id: number, leftId: number, rightId: number): Value {
    if (operator === 'and' || operator === 'or') return this.logical(operator, left, right, id);
    if (isPoison(left)) return left;
    if (isPoison(right)) return right;
    if (COMPARISONS.has(operator)) return this.comparison(operator as Comparison, left, right, id, leftId, rightId);
    if (operator === '+' && isLoad(left) && isLoad(right)) {
      const [first, second] = [loadTerm(this, left, leftId), loadTerm(this, right, rightId)];
      return first && second ? { kind: 'load', name: '', term: { kind: 'sum', terms: [first, second], sign: 0 } } : POISON;
    }
    if (left.kind === 'vector' || right.kind === 'vector') return this.vectorOperation(operator, left, right, id);
    if (left.kind === 'range' || right.kind === 'range') return this.problem('range-in-arithmetic', id, { operator });
    if (left.kind === 'any-direction' || right.kind === 'any-direction') return this.problem('range-in-arithmetic', id, { operator });
    if (left.kind !== 'quantity') return this.problem('number-expected', leftId, { found: describeKind(left) });
    if (right.kind !== 'quantity') return this.problem('number-expected', rightId, { found: describeKind(right) });
    switch (operator) {
      case '+': case '-': return this.sum(operator, left, right, id);
      case '*': case '/': return this.product(operator, left, right, id, leftId, rightId);
      case '^': return this.power(left, right, id, rightId);
      case '..': return this.range(left, right, id);
      default: return POISON;
    }
  }

  sum(operator: '+' | '-', left: Quantity, right: Quantity, id: number): Value {
    if (left.dimension !== right.dimension) return this.problem(operator === '+' ? 'cannot-add' : 'cannot-subtract', id, { left: dimensionWords(left), right: dimensionWords(right) });
    if (left.point && right.point && operator === '+') return this.problem('points-added', id);
    if (!left.point && right.point && operator === '-') return this.problem('point-subtracted-from-difference', id);
    const point = operator === '+' ? left.point || right.point : left.point && !right.point;
    const unit = left.point && right.point ? null : left.unit ?? right.unit;
    return this.quantity(this.builder.node(operator === '+' ? Op.Add : Op.Subtract, left.node, right.node), left.dimension, point === left.point || point === right.point ? unit && unit.isPoint !== point ? null : unit : null, point);
  }

  product(operator: '*' | '/', left: Quantity, right: Quantity, id: number, leftId = id, rightId = id): Value {
    if (left.point) return this.problem('point-in-product', leftId);
    if (right.point) return this.problem('point-in-product', rightId);
    const dimension = operator === '*' ? multiply(left.dimension, right.dimension) : divide(left.dimension, right.dimension);
    const kept = right.dimension === DIMENSIONLESS && left.unit?.sense !== 'angular' ? left.unit : null;
    const unit = right.dimension === DIMENSIONLESS ? kept : operator === '*' && left.dimension === DIMENSIONLESS ? right.unit : null;
    return this.quantity(this.builder.node(operator === '*' ? Op.Multiply : Op.Divide, left.node, right.node), dimension, dimension === DIMENSIONLESS ? null : unit);
  }

  private power(base: Quantity, exponent: Quantity, id: number, exponentId: number): Value {
    if (base.point) return this.problem('point-in-product', id);
    if (exponent.dimension !== DIMENSIONLESS) return this.problem('exponent-with-dimension', exponentId, { found: dimensionWords(exponent) });
    const value = this.builder.value(exponent.node);
    const node = value === 2 && this.builder.isConstant(exponent.node) ? this.builder.node(Op.Square, base.node) : this.builder.node(Op.Power, base.node, exponent.node);
    if (base.dimension === DIMENSIONLESS) return this.quantity(node, DIMENSIONLESS);
    if (!this.builder.isConstant(exponent.node)) this.host.demands(exponent.node, value);
    const ratio = rational(value);
    if (!ratio || !canRaise(base.dimension, ratio[0], ratio[1])) return this.problem('exponent-not-rational', exponentId, { found: dimensionWords(base) });
    return this.quantity(node, power(base.dimension, ratio[0], ratio[1]));
  }

  private range(low: Quantity, high: Quantity, id: number): Value {
    if (low.dimension !== high.dimension || low.point !== high.point) return this.problem('range-ends-differ', id, { left: dimensionWords(low), right: dimensionWords(high) });
    return { kind: 'range', low, high };
  }

  private vectorOperation(operator: BinaryOperator, left: Value, right: Value, id: number): Value {
    if (left.kind === 'vector' && right.kind === 'vector') {
      if (operator !== '+' && operator !== '-') return this.problem('vector-operator', id, { operator });
      if (left.dimension !== right.dimension) return this.problem(operator === '+' ? 'cannot-add' : 'cannot-subtract', id, { left: dimensionName(left.dimension), right: dimensionName(right.dimension) });
      const op = operator === '+' ? Op.Add : Op.Subtract;
      return this.vector(left.nodes.map((node, i) => this.builder.node(op, node, right.nodes[i]!)), left.dimension, left.unit);
    }
    const [vector, other] = left.kind === 'vector' ? [left, right] : [right as Vector, left];
    if (other.kind !== 'quantity' || (operator !== '*' && operator !== '/') || (operator === '/' && left.kind !== 'vector')) return this.problem('vector-operator', id, { operator });
    const dimension = operator === '*' ? multiply(vector.dimension, other.dimension) : divide(vector.dimension, other.dimension);
    const op = operator === '*' ? Op.Multiply : Op.Divide;
    return this.vector(vector.nodes.map(node => this.builder.node(op, node, other.node)), dimension, other.dimension === DIMENSIONLESS ? vector.unit : null);
  }

  vector(nodes: readonly number[], dimension: Dimension, unit: Unit | null = null): Vector {
    return { kind: 'vector', nodes: [nodes[0]!, nodes[1]!, nodes[2]!], dimension, unit };
  }

  private logical(operator: 'and' | 'or', left: Value, right: Value, id: number): Value {
    // One side that is wrong leaves the other's errors to be found, and the whole undetermined.
    if (isPoison(left)) return left;
    if (isPoison(right)) return right;
    if (left.kind !== 'truth' || right.kind !== 'truth') return this.problem('condition-expected', id, { found: describeKind(left.kind === 'truth' ? right : left) });
    return this.lazyTruth(() => this.builder.node(operator === 'and' ? Op.And : Op.Or, left.node, right.node), { kind: operator, parts: [left, right].map(side => side.condition ?? { kind: 'boolean' as const, node: side.node }) });
  }

  private comparison(operator: Comparison, leftSide: Value, rightSide: Value, id: number, leftId: number, rightId: number): Value {
    const left = decisiveEnd(leftSide, operator);
    const right = decisiveEnd(rightSide, REVERSED[operator]);
    if (left.kind === 'quantity' && right.kind === 'quantity') {
      if (left.dimension !== right.dimension) return this.problem('cannot-compare', id, { left: dimensionWords(left), right: dimensionWords(right), operator });
      if (left.point !== right.point) return this.problem(left.point ? 'difference-where-point' : 'point-where-difference', left.point ? rightId : leftId, {});
      if ((operator === '==' || operator === '!=') && left.dimension !== DIMENSIONLESS) this.problem('equality-of-quantities', id, {});
      const condition: Condition = { kind: 'compare', operator, left, right, leftId, rightId };
      return this.lazyTruth(() => this.compare(operator, left.node, right.node), condition);
    }
    if (operator !== '==' && operator !== '!=') {
      if (left.kind === 'date' && right.kind === 'date') return this.truth(this.builder.constant(compareText(operator, left.text, right.text) ? 1 : 0));
      const wrong = left.kind === 'quantity' ? right : left;
      return this.problem('number-expected', wrong === left ? leftId : rightId, { found: describeKind(wrong) });
    }
    const same = sameThing(left, right);
    if (same === undefined) return this.problem('cannot-compare-kinds', id, { left: describeKind(left), right: describeKind(right) });
    return this.truth(this.builder.constant(same === (operator === '==') ? 1 : 0));
  }

  compare(operator: Comparison, left: number, right: number): number {
    switch (operator) {
      case '<=': return this.builder.node(Op.LessEqual, left, right);
      case '>=': return this.builder.node(Op.LessEqual, right, left);
      case '<': return this.builder.node(Op.Less, left, right);
      case '>': return this.builder.node(Op.Less, right, left);
      case '==': return this.builder.node(Op.Equal, left, right);
      case '!=': return this.builder.node(Op.Not, this.builder.node(Op.Equal, left, right));
    }
  }

  private chain(operators: readonly Comparison[], operands: readonly Value[], id: number, expressions: readonly Expression[]): Value {
    const parts = operators.map((operator, i) => this.comparisonOrPoison(operator, operands[i]!, operands[i + 1]!, id, expressions[i]!.id, expressions[i + 1]!.id));
    const poisoned = parts.find(isPoison);
    if (poisoned) return poisoned;
    const truths = parts as Truth[];
    const rising = operators.every(operator => operator === '<=' || operator === '<');
    const falling = operators.every(operator => operator === '>=' || operator === '>');
    if (!rising && !falling) return this.problem('chain-changes-direction', id);
    return this.lazyTruth(() => truths.map(truth => truth.node).reduce((all, next) => this.builder.node(Op.And, all, next)), { kind: 'range', parts: truths.map(truth => truth.condition!) });
  }

  private comparisonOrPoison(operator: Comparison, left: Value, right: Value, id: number, leftId: number, rightId: number): Value {
    return isPoison(left) ? left : isPoison(right) ? right : this.comparison(operator, left, right, id, leftId, rightId);
  }

  private conditional(condition: Expression, yes: Expression, no: Expression, id: number, env: Environment | null): Value {
    const test = this.expression(condition, env);
    const first = this.expression(yes, env);
    const second = this.expression(no, env);
    if (isPoison(test)) return test;
    if (test.kind !== 'truth') return this.problem('condition-expected', condition.id, { found: describeKind(test) });
    if (first.kind === 'quantity' && second.kind === 'quantity') {
      if (first.dimension !== second.dimension || first.point !== second.point) return this.problem('branches-differ', id, { left: dimensionWords(first), right: dimensionWords(second) });
      return this.quantity(this.select(test.node, first.node, second.node), first.dimension, first.unit ?? second.unit, first.point);
    }
    if (first.kind === 'truth' && second.kind === 'truth') {
      const node = this.select(test.node, first.node, second.node);
      return this.truth(node, { kind: 'boolean', node });
    }
    const value = this.demand(test.node);
    return value === 1 ? first : value === 0 ? second : POISON;
  }

  private select(condition: number, yes: number, no: number): number {
    return this.builder.node(Op.Select, condition, yes, no);
  }

  /** The present value of a number that structure depends on. */
  demand(node: number): number {
    const value = this.builder.value(node);
    if (!this.builder.isConstant(node)) this.host.demands(node, value);
    return value;
  }

  private conversion(value: Value, unitText: string, id: number): Value {
    const unit = this.unit(unitText, id);
    if (!unit || isPoison(value)) return isPoison(value) ? value : POISON;
    if (value.kind === 'vector' && value.dimension === unit.dimension) return { ...value, unit };
    if (value.kind !== 'quantity') return this.problem('number-expected', id, { found: describeKind(value) });
    if (value.dimension !== unit.dimension) return this.problem('cannot-convert', id, { found: dimensionWords(value), unit: unitText, wanted: dimensionName(unit.dimension) });
    if (value.unit?.sense === 'angular' && unit.sense !== 'angular' && unit.dimension !== DIMENSIONLESS) this.problem('angular-as-frequency', id, { from: value.unit.symbol, to: unitText });
    if (value.point !== unit.isPoint) {
      if (!value.point) return { ...value, unit: { ...unit, isPoint: false } };
      return this.problem('point-as-difference', id, { unit: unitText });
    }
    return { ...value, unit };
  }

  private tolerance(e: Expression & { kind: 'tolerance' }, env: Environment | null): Value {
    const nominal = this.expression(e.nominal, env);
    if (isPoison(nominal)) return nominal;
    if (nominal.kind !== 'quantity') return this.problem('number-expected', e.nominal.id, { found: describeKind(nominal) });
    const sides = [this.spread(e.plus, e.signs[0], nominal, env), this.spread(e.minus, e.signs[1], nominal, env)];
    if (sides[0] === null || sides[1] === null) return POISON;
    const [high, low] = [this.builder.node(Op.Add, nominal.node, sides[0]!), this.builder.node(Op.Add, nominal.node, sides[1]!)];
    if (this.builder.value(low) > this.builder.value(high)) return this.problem('limits-swapped', e.id);
    const key = `${this.item.placement.file}:${this.item.placement.start}:${this.scope.key}:${this.item.name}:${e.id}`;
    const node = this.builder.source(nominal.node, low, high, { kind: 'source', key, distribution: e.distribution, sigmas: e.sigmas });
    return this.quantity(node, nominal.dimension, nominal.unit, nominal.point);
  }

  /** A tolerance as a signed difference; a percentage is relative to the nominal. */
  private spread(e: Expression, sign: number, nominal: Quantity, env: Environment | null): number | null {
    const value = e.kind === 'number' ? this.number(e.text, e.unitText, e.id, true) : this.expression(e, env);
    if (isPoison(value)) return null;
    if (value.kind !== 'quantity') {
      this.problem('number-expected', e.id, { found: describeKind(value) });
      return null;
    }
    // `0.16 ± 25 %` is relative; `10 % ± 5 %` is 5 to 15 %.
    const relative = value.dimension === DIMENSIONLESS && (nominal.dimension !== DIMENSIONLESS || (value.unit !== null && nominal.unit === null));
    if (relative && nominal.point) {
      this.problem('relative-tolerance-of-point', e.id);
      return null;
    }
    if (!relative && value.dimension !== nominal.dimension) {
      this.problem('tolerance-dimension', e.id, { found: dimensionWords(value), wanted: dimensionWords(nominal) });
      return null;
    }
    const size = relative ? this.builder.node(Op.Multiply, this.builder.node(Op.Absolute, nominal.node), value.node) : value.node;
    return sign < 0 ? this.builder.node(Op.Negate, size) : size;
  }

  // ---- lists, records, tables --------------------------------------------------------------------------------------------

  private group(items: readonly Value[]): Value {
    const poisoned = items.find(isPoison);
    if (poisoned && items.length === 3) return poisoned;
    if (items.length === 3 && items.every(item => item.kind === 'quantity' && !item.point && item.dimension === (items[0] as Quantity).dimension)) {
      const quantities = items as Quantity[];
      return this.vector(quantities.map(item => item.node), quantities[0]!.dimension, quantities.find(item => item.unit)?.unit ?? null);
    }
    return { kind: 'list', items };
  }

  private record(entries: readonly { readonly name: string; readonly value: Expression; readonly annotations: Annotations }[], env: Environment | null): Value {
    const result = new Map<string, Value>();
    for (const entry of entries) {
      if (result.has(entry.name)) this.problem('duplicate-entry', entry.value.id, { name: entry.name });
      this.path.push(entry.name);
      result.set(entry.name, this.annotated(this.expression(entry.value, env), entry.annotations));
      this.path.pop();
    }
    return { kind: 'record', entries: result };
  }

  /** `2.8 g0 any` binds to its value as basis and source do. */
  annotated(value: Value, annotations: Annotations): Value {
    return annotations.anyDirection && value.kind === 'quantity' ? { kind: 'any-direction', magnitude: value } : value;
  }

  table(e: TableExpression, env: Environment | null, inputs: readonly string[]): Value {
    const rows = e.rows.map(row => ({ row, key: this.expression(row.key, env), value: row.value.kind === 'table' ? this.table(row.value, env, inputs.slice(1)) : this.expression(row.value, env) }));
    const poisoned = rows.map(row => isPoison(row.key) ? row.key : row.value).find(isPoison);
    if (poisoned) return poisoned;
    if (rows.length === 0) return this.problem('empty-table', e.id);
    const text = rows[0]!.key.kind === 'text';
    const nested = rows[0]!.value.kind === 'table';
    const interpolation: Interpolation = e.interpolation ?? (text ? 'exact' : 'linear');
    const first = rows[0]!;
    const keys: (number | string)[] = [];
    const values: (number | TableData)[] = [];
    for (const { row, key, value } of rows) {
      if (text ? key.kind !== 'text' : key.kind !== 'quantity') return this.problem('table-keys-differ', row.key.id, {});
      if (!text) {
        const [given, wanted] = [key as Quantity, first.key as Quantity];
        if (given.dimension !== wanted.dimension || given.point !== wanted.point) return this.problem('table-keys-differ', row.key.id, {});
        const number = this.fixed(given, row.key.id);
        const before = keys[keys.length - 1];
        if (before !== undefined && !(number > (before as number))) return this.problem('table-not-ascending', row.key.id, {});
        keys.push(number);
      } else {
        if (keys.includes((key as { text: string }).text)) return this.problem('duplicate-entry', row.key.id, { name: (key as { text: string }).text });
        keys.push((key as { text: string }).text);
      }
      if (nested) {
        if (value.kind !== 'table' || value.output.dimension !== (first.value as TableValue).output.dimension) return this.problem('table-values-differ', row.value.id, {});
        values.push(value.data);
      } else {
        if (value.kind !== 'quantity' || (first.value as Quantity).dimension !== value.dimension || (first.value as Quantity).point !== value.point) return this.problem('table-values-differ', row.value.id, { found: describeKind(value) });
        values.push(this.fixed(value, row.value.id));
      }
    }
    if (interpolation === 'loglog' || interpolation === 'semilog') {
      const bad = rows.find((_, i) => !((keys[i] as number) > 0) || (interpolation === 'loglog' && !nested && !((values[i] as number) > 0)));
      if (bad) return this.problem('table-logarithm', bad.row.key.id, { interpolation });
    }
    const data: TableData = { interpolation, keys: text ? keys as string[] : Float64Array.from(keys as number[]), values: nested ? values as TableData[] : Float64Array.from(values as number[]) };
    const quantity = first.key as Quantity;
    const input: TableInput = { name: inputs[0] ?? null, text, dimension: text ? DIMENSIONLESS : quantity.dimension, point: !text && quantity.point, unit: text ? null : quantity.unit };
    const inner = nested ? first.value as TableValue : null;
    const output = inner ? inner.output : { dimension: (first.value as Quantity).dimension, point: (first.value as Quantity).point, unit: (first.value as Quantity).unit };
    return { kind: 'table', data, inputs: inner ? [input, ...inner.inputs] : [input], output, origin: this.origin() };
  }

  /** A number of a table, which is frozen: it can't carry a tolerance. */
  private fixed(quantity: Quantity, id: number): number {
    if (this.builder.isTolerant(quantity.node)) this.problem('tolerance-in-table', id);
    return this.demand(quantity.node);
  }

  private origin(): Origin | null {
    const item = this.item;
    if (item.kind === 'text' || item.kind === 'check' || item.kind === 'restriction' || !('annotations' in item)) return null;
    return { entity: this.scope, item: item as ValueItem, path: [...this.path], annotations: (item as ValueItem).annotations };
  }

  private index(receiver: Value, index: Value, id: number): Value {
    if (isPoison(receiver)) return receiver;
    if (isPoison(index)) return index;
    if (index.kind === 'text') {
      if (receiver.kind === 'vector' || receiver.kind === 'record') return this.memberOf(receiver, receiver.kind === 'vector' ? index.text.toLowerCase() : index.text, id);
      return this.problem('index-expected', id, { found: describeKind(index) });
    }
    if (index.kind !== 'quantity' || index.dimension !== DIMENSIONLESS) return this.problem('index-expected', id, { found: describeKind(index) });
    const items: readonly Value[] | null = receiver.kind === 'list' ? receiver.items : receiver.kind === 'vector' ? receiver.nodes.map(node => this.quantity(node, receiver.dimension, receiver.unit)) : null;
    if (!items) return this.problem('not-a-list', id, { found: describeKind(receiver) });
    const at = this.demand(index.node);
    if (at !== at) return this.undeterminedLike(items[0], 'index-undetermined', id);
    if (!Number.isInteger(at) || at < 1 || at > items.length) return this.problem('index-out-of-range', id, { index: String(at), length: String(items.length) });
    return items[at - 1]!;
  }

  private undeterminedLike(value: Value | undefined, code: string, id: number): Value {
    const node = this.builder.undetermined(code, {}, { owner: this.item, id });
    return value?.kind === 'quantity' ? { ...value, node } : { kind: 'poison', reason: { code, data: {}, place: { owner: this.item, id } } };
  }

  // ---- calls ------------------------------------------------------------------------------------------------------------

  private call(e: Call, env: Environment | null): Value {
    const callee = this.expression(e.callee, env);
    switch (callee.kind) {
      case 'poison': return callee;
      case 'formula': return this.callFormula(callee, e, env);
      case 'builtin': return BUILTINS.get(callee.name)!.call(this, e, env);
      case 'table': return this.callTable(callee, e, env);
      case 'record':
        if (callee.entries.has(RESULT_ROWS)) return this.resultCall(callee, e, env);
        break;
      case 'entity': {
        const table = callee.entity.kind === 'table' && callee.entity.declaration.value && callee.entity.declaration.columns.length === 0 ? this.host.read(callee.entity, callee.entity.declaration.value) : null;
        if (table?.kind === 'table') return this.callTable(table, e, env);
        if (table && isPoison(table)) return table;
        break;
      }
      case 'quantity': {
        const name = sourceName(e.callee);
        return this.problem('quantity-called', e.id, { name });
      }
    }
    return this.problem('not-callable', e.id, { found: describeKind(callee) });
  }

  /** Positional arguments of a builtin; named ones are an error there. */
  values(e: Call, env: Environment | null, count: number, name: string): Value[] | null {
    if (e.arguments.length !== count || e.arguments.some(argument => argument.form !== 'positional')) {
      this.problem('argument-count', e.id, { name, wanted: String(count), found: String(e.arguments.length) });
      return null;
    }
    const values = e.arguments.map(argument => this.expression(argument.value, env));
    return values.some(isPoison) ? null : values;
  }

  private callTable(table: TableValue, e: Call, env: Environment | null): Value {
    const ordered: Expression[] = [];
    for (const [i, argument] of e.arguments.entries()) {
      const at = argument.name === null ? i : table.inputs.findIndex(input => input.name === argument.name);
      if (at < 0 || argument.form === 'each') return this.problem('unknown-argument', argument.id, { name: argument.name ?? '', known: table.inputs.map(input => input.name ?? 'its input').join(', ') });
      ordered[at] = argument.value;
    }
    if (ordered.filter(Boolean).length !== table.inputs.length) return this.problem('argument-count', e.id, { name: 'this table', wanted: String(table.inputs.length), found: String(e.arguments.length) });
    const values = ordered.map(argument => this.expression(argument, env));
    const poisoned = values.find(isPoison);
    if (poisoned) return poisoned;
    return this.lookUpTable(table, values, e.id, ordered.map(argument => argument.id));
  }

  lookUpTable(table: TableValue, values: readonly Value[], id: number, ids: readonly number[]): Value {
    let data = table.data;
    let inputs = table.inputs;
    let given = values;
    while (inputs.length > 0 && inputs[0]!.text) {
      const key = given[0]!;
      if (key.kind !== 'text') return this.problem('table-input', ids[0]!, { found: describeKind(key), wanted: 'a text' });
      const at = (data.keys as readonly string[]).indexOf(key.text);
      if (at < 0) return this.problem('table-key-unknown', ids[0]!, { key: key.text, known: (data.keys as readonly string[]).join(', ') });
      if (inputs.length === 1) return this.quantity(this.tableConstant((data.values as Float64Array)[at]!, table), table.output.dimension, table.output.unit, table.output.point);
      data = (data.values as readonly TableData[])[at]!;
      inputs = inputs.slice(1);
      given = given.slice(1);
    }
    const quantities: Quantity[] = [];
    for (const [i, input] of inputs.entries()) {
      const value = given[i]!;
      if (value.kind === 'range') return this.problem('range-in-table', ids[i] ?? id, {});
      if (value.kind !== 'quantity' || value.dimension !== input.dimension) return this.problem('table-input', ids[i] ?? id, { found: value.kind === 'quantity' ? dimensionWords(value) : describeKind(value), wanted: dimensionName(input.dimension) });
      if (value.point !== input.point) return this.problem(input.point ? 'difference-where-point' : 'point-where-difference', ids[i] ?? id, {});
      quantities.push(value);
    }
    const node = this.builder.table(data, { place: { owner: this.item, id } satisfies Place, origin: table.origin, inputs }, quantities[0]!.node, quantities[1]?.node);
    return this.quantity(node, table.output.dimension, table.output.unit, table.output.point);
  }

  /** A value picked by a text key: a constant that still knows which table it comes from. */
  private tableConstant(value: number, table: TableValue): number {
    const data: TableData = { interpolation: 'exact', keys: Float64Array.of(0), values: Float64Array.of(value) };
    return this.builder.table(data, { place: null, origin: table.origin, inputs: [] }, this.builder.constant(0));
  }

  callFormula(formula: FormulaValue, e: Call, env: Environment | null): Value {
    const { item } = formula;
    const parameters = item.parameters!;
    const bound = new Map<string, Value>();
    let position = 0;
    for (const argument of e.arguments) {
      const parameter = argument.form === 'named' ? parameters.find(candidate => candidate.name === argument.name) : argument.form === 'positional' ? parameters[position++] : undefined;
      if (!parameter) {
        this.expression(argument.value, env);
        return argument.form === 'named'
          ? this.problem('unknown-argument', argument.id, { name: argument.name ?? '', known: parameters.map(candidate => candidate.name).join(', ') })
          : this.problem('argument-count', e.id, { name: item.name, wanted: String(parameters.length), found: String(e.arguments.length) });
      }
      if (bound.has(parameter.name)) return this.problem('argument-twice', argument.id, { name: parameter.name });
      const value = this.expression(argument.value, env);
      bound.set(parameter.name, this.checkArgument(value, parameter, argument.value.id, item));
    }
    return this.inline(formula, bound, e.id);
  }

  private checkArgument(value: Value, parameter: Parameter, id: number, item: ValueItem): Value {
    if (!parameter.type || isPoison(value)) return value;
    const wanted = this.dimensionOf(parameter.type, item);
    if (wanted === null) return value;
    if (typeof wanted === 'string') return value;
    if (value.kind === 'vector' && value.dimension === wanted.dimension) return value;
    if (value.kind !== 'quantity') return this.problem('argument-dimension', id, { name: parameter.name, of: item.name, wanted: dimensionName(wanted.dimension), found: describeKind(value) });
    if (value.dimension !== wanted.dimension) return this.problem('argument-dimension', id, { name: parameter.name, of: item.name, wanted: dimensionName(wanted.dimension), found: dimensionWords(value) });
    if (wanted.dimension === TEMPERATURE && wanted.point !== null && value.point !== wanted.point) return this.problem(wanted.point ? 'difference-where-point' : 'point-where-difference', id, {});
    return value;
  }

  /** Elaborates the body with its parameters bound, in the scope where it was written. */
  inline(formula: FormulaValue, bound: ReadonlyMap<string, Value>, callId: number): Value {
    const { item, scope } = formula;
    if (this.calls.some(frame => frame.item === item) || this.calls.length >= DEEPEST_CALL) return this.problem('recursive-formula', callId, { name: item.name });
    let env: Environment | null = null;
    for (const parameter of item.parameters!) {
      const value = bound.get(parameter.name) ?? (parameter.default ? this.inItem(item, scope, () => this.expression(parameter.default!, env)) : undefined);
      if (value === undefined) return this.problem('argument-missing', callId, { name: parameter.name, of: item.name });
      env = { name: parameter.name, value, parent: env };
    }
    this.host.calls(item);
    this.calls.push({ item, owner: this.item, id: callId });
    const result = this.inItem(item, scope, () => {
      const value = this.annotated(this.expression(item.value, env), item.annotations);
      const checked = item.type ? this.checkResult(value, item.type, item) : value;
      return item.conditions.reduce((kept, condition) => this.require(kept, condition, env, item, callId), checked);
    });
    this.calls.pop();
    return result;
  }

  private inItem<T>(item: Item, scope: Entity, run: () => T): T {
    const [outerItem, outerScope, outerPath] = [this.item, this.scope, this.path];
    this.item = item;
    this.scope = scope;
    this.path = [];
    const result = run();
    this.item = outerItem;
    this.scope = outerScope;
    this.path = outerPath;
    return result;
  }

  private checkResult(value: Value, type: TypeExpression, item: ValueItem): Value {
    const wanted = this.dimensionOf(type, item);
    if (wanted === null || typeof wanted === 'string' || value.kind !== 'quantity') return value;
    if (value.dimension !== wanted.dimension) return this.problem('result-dimension', item.value.id, { name: item.name, wanted: dimensionName(wanted.dimension), found: dimensionWords(value) });
    return value;
  }

  /** Outside its validity a formula has no value: the call is undetermined and says so. */
  private require(value: Value, condition: Expression, env: Environment | null, item: ValueItem, callId: number): Value {
    const holds = this.expression(condition, env);
    if (holds.kind !== 'truth' || isPoison(value)) return value;
    const frame = this.calls[this.calls.length - 1]!;
    const invalid = (): number => this.builder.sharedUndetermined('formula-outside-validity', { name: item.name }, { owner: frame.owner, id: callId });
    const { builder } = this;
    const fixed = builder.isConstant(holds.node) ? builder.peek(holds.node) : null;
    if (fixed === 1) return value;
    if (fixed === null || this.muted === 0) this.guarded.push({ node: holds.node, place: { owner: frame.owner, id: callId }, formula: item.name, condition: { owner: item, id: condition.id } });
    const guard = (node: number): number => builder.node(Op.Select, holds.node, node, invalid());
    return mapNodes(value, guard);
  }

  /** Conditions of the formulas that were called, to be looked at after each run. */
  readonly guarded: { readonly node: number; readonly place: Place; readonly formula: string; readonly condition: Place }[] = [];

  /** The dimension that a type asks for; a word (`text`, `table`, …) for what has none; null when it is no known type. */
  dimensionOf(type: TypeExpression, item: Item): { dimension: Dimension; point: boolean | null } | string | null {
    if (type.kind !== 'product') return type.kind;
    if (type.terms.length === 1 && type.terms[0]!.exponent === 1) {
      const { name } = type.terms[0]!;
      if (WORD_TYPES.has(name)) return name;
      if (name === 'temperature') return { dimension: TEMPERATURE, point: true };
      if (name === 'temperature_difference') return { dimension: TEMPERATURE, point: false };
    }
    let dimension = DIMENSIONLESS;
    for (const term of type.terms) {
      const base = parseDimension(term.name);
      if (!base) {
        const outer = this.item;
        this.item = item;
        this.problem('unknown-type', term.id, { name: term.name });
        this.item = outer;
        return null;
      }
      dimension = multiply(dimension, power(base, term.exponent));
    }
    return { dimension, point: null };
  }

  /** A value of which only the type is known: what an uncalled formula or a kind is checked with. */
  typed(type: TypeExpression | null, id: number): Value {
    const wanted = type ? this.dimensionOf(type, this.item) : null;
    if (!wanted || typeof wanted === 'string') return wanted === 'text' ? { kind: 'text', text: '' } : POISON;
    return this.quantity(this.builder.undetermined('only-a-type', {}, { owner: this.item, id }), wanted.dimension, null, wanted.point ?? false);
  }

  // ---- sweeps -----------------------------------------------------------------------------------------------------------

  /** Calls `body` for every combination of the binders, a later one seeing the earlier. Stops with a finding beyond the largest sweep. */
  sweep(binders: readonly Binder[], env: Environment | null, body: (env: Environment | null, parts: readonly CasePart[], values: readonly Value[]) => void, trial?: (env: Environment | null) => void): boolean {
    const counter = { rows: 0 };
    return this.sweepFrom(binders, 0, env, [], [], body, counter, trial ?? (inner => body(inner, [], [])));
  }

  private sweepFrom(binders: readonly Binder[], at: number, env: Environment | null, parts: readonly CasePart[], values: readonly Value[], body: (env: Environment | null, parts: readonly CasePart[], values: readonly Value[]) => void, counter: { rows: number }, trial: (env: Environment | null) => void): boolean {
    if (at === binders.length) {
      if (++counter.rows > MOST_ROWS) {
        this.problem('sweep-too-large', binders[0]!.domain.id, { most: String(MOST_ROWS) });
        return false;
      }
      body(env, parts, values);
      return true;
    }
    const binder = binders[at]!;
    const domain = this.expression(binder.domain, env);
    const items = this.domain(domain, binder, env, inner => this.trialSweep(binders, at + 1, inner, trial));
    if (!items) {
      // The rest is still checked once, with nothing known of this name.
      const bound: Environment = { name: binder.name, value: isPoison(domain) ? domain : POISON, parent: env };
      this.sweepFrom(binders, at + 1, bound, parts, values, body, counter, trial);
      return false;
    }
    let complete = true;
    for (const item of items) {
      const bound: Environment = { name: binder.name, value: item.value, parent: env };
      if (!this.sweepFrom(binders, at + 1, bound, parts.length === 0 ? item.parts : [...parts, ...item.parts], [...values, item.value], body, counter, trial)) complete = false;
      if (counter.rows > MOST_ROWS) return false;
      if (bound.used) this.usedBinders.add(binder.id);
    }
    return complete;
  }

  readonly usedBinders = new Set<number>();

  /** Whether corners of a load in any direction are spread round the axis, or only taken with both signs. */
  allDirections = false;
  /** Set where a component across the axis is asked for, so that signs alone don't do. */
  directionsUsed = false;

  private trialSweep(binders: readonly Binder[], at: number, env: Environment | null, trial: (env: Environment | null) => void): void {
    let left = 64;
    const run = (index: number, inner: Environment | null): void => {
      if (left <= 0) return;
      if (index === binders.length) {
        left--;
        trial(inner);
        return;
      }
      const binder = binders[index]!;
      const items = this.domain(this.expression(binder.domain, inner), binder, inner, () => undefined);
      for (const item of items ?? []) run(index + 1, { name: binder.name, value: item.value, parent: inner });
    };
    run(at, env);
  }

  /** The values that a name takes in a sweep, each with its piece of the case's name. */
  private domain(domain: Value, binder: Binder, env: Environment | null, trial: (env: Environment) => void): { value: Value; parts: readonly CasePart[] }[] | null {
    const plain = (value: Value): { value: Value; parts: readonly CasePart[] } => ({ value, parts: this.caseParts(binder.name, value) });
    switch (domain.kind) {
      case 'poison': return null;
      case 'list':
        if (domain.labels) return domain.items.map((item, i) => ({ value: item, parts: [{ kind: 'text', text: domain.labels![i]! }] }));
        return domain.items.map(plain);
      case 'rows':
        if (domain.data.length > MOST_ROWS) {
          this.problem('sweep-too-large', binder.domain.id, { most: String(MOST_ROWS) });
          return null;
        }
        return Array.from({ length: domain.data.length }, (_, i) => ({ value: rowRecord(this.builder, domain, i), parts: [{ kind: 'text' as const, text: `row ${i + 1}` }] }));
      case 'entity':
        if ((domain.entity.kind === 'table' || domain.entity.kind === 'results') && domain.entity.declaration.columns.length > 0) return this.domain(this.host.rows(domain.entity), binder, env, trial);
        if (domain.entity.kind === 'load' || domain.entity.kind === 'case') return [plain(domain)];
        break;
      case 'load': return [plain(domain)];
      case 'record': {
        const knots = domain.entries.get(KNOTS);
        if (knots?.kind === 'range') return this.knots(knots.low, knots.high, binder, env, trial).map(plain);
        break;
      }
      case 'range': return this.steps(domain.low, domain.high, binder, env)?.map(plain) ?? null;
    }
    this.problem('not-a-sweep', binder.domain.id, { found: describeKind(domain) });
    return null;
  }

  private steps(low: Quantity, high: Quantity, binder: Binder, env: Environment | null): Quantity[] | null {
    let step = 1;
    if (binder.step) {
      const given = binder.step.kind === 'number' ? this.number(binder.step.text, binder.step.unitText, binder.step.id, true) : this.expression(binder.step, env);
      if (isPoison(given)) return null;
      if (given.kind !== 'quantity' || given.dimension !== low.dimension || given.point) {
        this.problem('step-dimension', binder.step.id, { wanted: dimensionName(low.dimension) });
        return null;
      }
      step = this.demand(given.node);
    } else if (low.dimension !== DIMENSIONLESS) {
      this.problem('range-without-step', binder.domain.id, {});
      return null;
    }
    const [from, to] = [this.demand(low.node), this.demand(high.node)];
    if (from !== from || to !== to || !(step > 0)) {
      this.problem('sweep-undetermined', binder.domain.id, {});
      return null;
    }
    const count = Math.floor((to - from) / step + 1e-9) + 1;
    if (count > MOST_ROWS) {
      this.problem('sweep-too-large', binder.domain.id, { most: String(MOST_ROWS) });
      return null;
    }
    return Array.from({ length: Math.max(0, count) }, (_, i) => ({ ...low, node: this.builder.constant(from + i * step) }));
  }

  /** The ends of a range and every breakpoint between them of a table that the swept expression asks with this name. */
  private knots(low: Quantity, high: Quantity, binder: Binder, env: Environment | null, trial: (env: Environment) => void): Quantity[] {
    const [from, to] = [this.demand(low.node), this.demand(high.node)];
    if (from === to) return [low];
    const key = this.sweepKey(binder, from, to, env);
    let inner = key === null ? undefined : this.knotsFound?.get(key);
    if (!inner) {
      this.muted++;
      inner = this.builder.breakpoints(from, to, parameter => trial({ name: binder.name, value: { ...low, node: parameter }, parent: env })).filter(x => x > from && x < to);
      this.muted--;
      if (key !== null) (this.knotsFound ??= new Map()).set(key, inner);
    }
    const between = [...new Set(inner)].sort((x, y) => x - y).map(x => ({ ...low, node: this.builder.constant(x) }));
    return [low, ...between, high];
  }

  /** Breakpoints found before; which tables are asked does not depend on the corner of a load. */
  private knotsFound: Map<string, readonly number[]> | null = null;

  private sweepKey(binder: Binder, from: number, to: number, env: Environment | null): string | null {
    const parts = [binder.id, from, to] as (string | number)[];
    for (let at = env; at; at = at.parent) {
      const { value } = at;
      if (value.kind === 'load') parts.push(value.name);
      else if (value.kind === 'entity') parts.push(value.entity.key);
      else if (value.kind === 'text') parts.push(value.text);
      else if (value.kind === 'quantity' && this.builder.isConstant(value.node)) parts.push(this.builder.peek(value.node));
      else return null;
    }
    return `${this.item.name} ${parts.join(' ')}`;
  }

  private caseParts(name: string, value: Value): readonly CasePart[] {
    switch (value.kind) {
      case 'load': return [{ kind: 'text', text: value.name }, ...choiceLabels(value.term)];
      case 'entity': return entityParts(value.entity);
      case 'text': case 'date': return [{ kind: 'text', text: value.text }];
      case 'quantity': return [{ kind: 'value', name: value.point ? '' : name, node: value.node, dimension: value.dimension, point: value.point, unit: value.unit }];
      default: return [];
    }
  }

  /** Every value of a comprehension argument (`for p in xs where …: p.mass`), or the items of a list argument. */
  each(argument: Argument, env: Environment | null): { value: Value; label: string }[] | null {
    if (argument.form !== 'each') {
      const value = this.expression(argument.value, env);
      if (isPoison(value)) return null;
      const items = value.kind === 'list' ? value.items : value.kind === 'vector' ? value.nodes.map(node => this.quantity(node, value.dimension, value.unit)) : null;
      return items?.map((item, i) => ({ value: item, label: `item ${i + 1}` })) ?? null;
    }
    const values: { value: Value; label: string }[] = [];
    const complete = this.sweep(argument.binders, env, (inner, parts) => {
      if (argument.condition) {
        const test = this.expression(argument.condition, inner);
        if (test.kind !== 'truth') {
          if (!isPoison(test)) this.problem('condition-expected', argument.condition.id, { found: describeKind(test) });
          return;
        }
        if (this.demand(test.node) !== 1) return;
      }
      values.push({ value: this.expression(argument.value, inner), label: parts.map(part => this.partText(part)).join(' ') });
    }, inner => void this.expression(argument.value, inner));
    return complete ? values : null;
  }

  private partText(part: CasePart): string {
    if (part.kind === 'text') return part.text;
    if (part.kind === 'sign') return `${this.builder.value(part.node) < 0 ? '−' : '+'}${part.field}`;
    return `${part.name ? `${part.name} = ` : ''}${printQuantity(this.builder.value(part.node), part.dimension, part.unit, part.point, null)}`;
  }

  /** `count` items that vary as `quantity` does, each on its own. */
  copies(quantity: Quantity, count: number, id: number): Value[] {
    return Array.from({ length: count }, (_, i) => {
      const node = this.builder.copy(quantity.node, `#${id}.${i}`, owner => this.host.repeats(owner));
      return node === undefined ? this.problem('cannot-repeat', id) : { ...quantity, node };
    });
  }

  corners(value: Value, id: number): Value {
    return corners(this, value, id);
  }
}

const LIBRARY_SCHEME = 'library:';
const RESULT_ROWS = '*rows';
const RESULT_COLUMN = '*column';
const COMPARISONS: ReadonlySet<string> = new Set(['<=', '>=', '<', '>', '==', '!=']);
const WORD_TYPES: ReadonlySet<string> = new Set(['text', 'table', 'list', 'load', 'part', 'material', 'condition', 'date', 'any', 'vector']);

const REVERSED: Readonly<Record<Comparison, Comparison>> = { '<=': '>=', '>=': '<=', '<': '>', '>': '<', '==': '==', '!=': '!=' };

/** A whole range is at most something when its upper end is. */
function decisiveEnd(value: Value, operator: Comparison): Value {
  if (value.kind === 'any-direction') return value.magnitude;
  if (value.kind !== 'range') return value;
  return operator === '<=' || operator === '<' ? value.high : operator === '>=' || operator === '>' ? value.low : value;
}

const partsOfEntities = new WeakMap<Entity, readonly CasePart[]>();

/** The name of an entity as a piece of the names of cases; one list for all of them. */
function entityParts(entity: Entity): readonly CasePart[] {
  let parts = partsOfEntities.get(entity);
  if (!parts) partsOfEntities.set(entity, (parts = [{ kind: 'text', text: entity.name }]));
  return parts;
}

function insideKind(entity: Entity): boolean {
  for (let at = entity.parent; at; at = at.parent) if (at.kind === 'kind') return true;
  return false;
}

/** `x` as a fraction with a small denominator, or null. */
function rational(x: number): [number, number] | null {
  for (let den = 1; den <= 12; den++) {
    const num = Math.round(x * den);
    if (Math.abs(num / den - x) < 1e-12) return [num, den];
  }
  return null;
}

function sameThing(x: Value, y: Value): boolean | undefined {
  if (x.kind === 'text' && y.kind === 'text') return x.text === y.text;
  if (x.kind === 'date' && y.kind === 'date') return x.text === y.text;
  if (x.kind === 'entity' && y.kind === 'entity') return x.entity === y.entity;
  return undefined;
}

function compareText(operator: Comparison, x: string, y: string): boolean {
  return operator === '<=' ? x <= y : operator === '>=' ? x >= y : operator === '<' ? x < y : x > y;
}

/** How a key of a results table is compared: entities by name, numbers as numbers, texts as written. */
function keyText(value: Value, elaborator: Elaborator): string {
  switch (value.kind) {
    case 'entity': return value.entity.name;
    case 'load': return value.name;
    case 'text': case 'date': return value.text;
    case 'quantity': return String(elaborator.demand(value.node));
    default: return '?';
  }
}

function sourceName(e: Expression): string {
  return e.kind === 'name' ? e.name : e.kind === 'member' ? `${sourceName(e.receiver)}.${e.name}` : 'this value';
}

