/** What a name, a label or a member (`tray.mass`) stands for where it is written. */
import { nearest } from '../../base/index.js';
import { isCalculated, isNamedInExpressions } from '../../language/index.js';
import { ON_ANY_NAME, onName } from '../../model/dependency.js';
import type { Entity } from '../../model/namespace.js';
import { DIMENSIONLESS } from '../../units/index.js';
import { BUILTINS, CONSTANTS } from './builtins.js';
import { entityValue, titleOf } from '../values/describe.js';
import type { Elaboration, Environment } from './elaboration.js';
import { loadMember, loadTerm } from './loads.js';
import { Op } from '../operations/op.js';
import { columnValues } from './rows.js';
import { describeKind, type Direction, type Value } from '../values/value.js';
import { resultColumn } from './results.js';
import { MOST_ROWS } from './sweeps.js';
import { asGiven, typed } from './types.js';
import { columnsOf, declared } from '../../model/statements.js';

/**
 * What is bound by parameters and sweeps comes first, then what stands nearest, the library, and what the language
 * knows itself.
 */
export function resolveName(elaborator: Elaboration, name: string, id: number, env: Environment | null): Value {
  for (let at = env; at; at = at.parent)
    if (at.name === name) {
      at.used = true;
      if (at.isEntry && meansElsewhere(elaborator, name, id, at.parent))
        elaborator.problem('entry-hides', id, { name });
      return at.value;
    }
  const known = elaborator.resolved.get(name);
  if (known) return known;
  elaborator.host.dependsOn(onName(name), elaborator.scope);
  const found = lookUp(elaborator, name, elaborator.scope, id);
  // What a kind is given has only a type, and stands for itself wherever it is read.
  if (found && found.kind !== 'poison' && !isOfKind(elaborator.scope)) elaborator.resolved.set(name, found);
  if (found) return found;
  if (CONSTANTS.has(name)) return elaborator.quantity(elaborator.builder.constant(CONSTANTS.get(name)!), DIMENSIONLESS);
  if (BUILTINS.has(name)) return { kind: 'builtin', name };
  if (name === 'X' || name === 'Y' || name === 'Z') return { kind: 'text', text: name };
  elaborator.host.dependsOn(ON_ANY_NAME);
  return elaborator.problem('unknown-name', id, { name, similar: similar(elaborator, name) ?? '' });
}

/** Whether a name of an entry before it means something else outside of the record. */
function meansElsewhere(elaborator: Elaboration, name: string, id: number, outer: Environment | null): boolean {
  for (let at = outer; at; at = at.parent) if (at.name === name) return !at.isEntry;
  elaborator.host.dependsOn(onName(name), elaborator.scope);
  return lookUp(elaborator, name, elaborator.scope, id) !== undefined || CONSTANTS.has(name);
}

export function resolveLabel(elaborator: Elaboration, label: string, id: number): Value {
  elaborator.host.dependsOn(onName(label.split('/')[0]!));
  const found = elaborator.host.namespace.labelled(label);
  if (found.length === 1) return entityValue(found[0]!);
  return found.length > 1
    ? elaborator.problem('ambiguous-name', id, { name: label, candidates: pathsOf(found) })
    : elaborator.problem('unknown-label', id, { label });
}

const pathsOf = (entities: readonly Entity[]): string =>
  entities
    .map(entity => entity.path)
    .sort()
    .join(', ');

/** `receiver.name`. */
export function memberOf(elaborator: Elaboration, receiver: Value, name: string, id: number): Value {
  switch (receiver.kind) {
    case 'poison':
      return receiver;
    case 'entity':
      return memberOfEntity(elaborator, receiver.entity, name, id);
    case 'load':
      return loadMember(elaborator, receiver.term, receiver.name, name, id);
    case 'vector': {
      const axis = 'xyz'.indexOf(name.toLowerCase());
      if (name.length === 1 && axis >= 0)
        return elaborator.quantity(receiver.nodes[axis]!, receiver.dimension, receiver.unit);
      break;
    }
    case 'quantity':
      if (receiver.direction && (name === 'y' || name === 'z')) {
        elaborator.directionsUsed = true;
        return elaborator.quantity(
          component(elaborator, receiver.node, receiver.direction, name),
          receiver.dimension,
          receiver.unit,
        );
      }
      break;
    case 'record': {
      const entry = receiver.entries.get(name);
      if (entry) return entry;
      return elaborator.problem('unknown-member', id, {
        name,
        of: 'this record',
        known: [...receiver.entries.keys()].join(', '),
      });
    }
    case 'rows':
      if (receiver.data.columns.has(name) && receiver.data.length > MOST_ROWS)
        return elaborator.problem('sweep-too-large', id, { most: String(MOST_ROWS) });
      if (receiver.data.columns.has(name)) return columnValues(elaborator.builder, receiver, name);
      return elaborator.problem('unknown-member', id, {
        name,
        of: receiver.source.name,
        known: [...receiver.data.columns.keys()].join(', '),
      });
    case 'range':
      if (name === 'low' || name === 'high') return receiver[name];
      break;
  }
  return elaborator.problem('no-member', id, { name, of: describeKind(receiver) });
}

/** The component of a lateral load along an axis. */
function component(elaborator: Elaboration, node: number, direction: Direction, axis: 'y' | 'z'): number {
  const { builder } = elaborator;
  if ('y' in direction) return builder.node(Op.Multiply, node, builder.constant(direction[axis]));
  return builder.node(Op.Multiply, direction.magnitude, builder.node(axis === 'y' ? Op.Cos : Op.Sin, direction.angle));
}

function memberOfEntity(elaborator: Elaboration, entity: Entity, name: string, id: number): Value {
  elaborator.host.dependsOn(onName(name), entity);
  if (entity.kind === 'load' || entity.kind === 'case') {
    const term = loadTerm(elaborator, { kind: 'entity', entity }, id);
    if (term) return loadMember(elaborator, term, entity.name, name, id);
  }
  if (columnsOf(entity).length > 0) {
    if (entity.kind === 'results') return resultColumn(elaborator, entity, name, id);
    return memberOf(elaborator, elaborator.host.rows(entity), name, id);
  }
  const value = valueIn(elaborator, entity, name);
  if (value) return value;
  const member = elaborator.host.namespace.memberOf(entity, name);
  if (member) return entityValue(member);
  if (name === 'name') return { kind: 'text', text: entity.name };
  if (name === 'title') return { kind: 'text', text: titleOf(entity) };
  const attribute = elaborator.host.attribute(entity, name);
  if (attribute) return attribute;
  if (entity.kind === 'kind') {
    const given = declared(entity, 'kind').given.find(parameter => parameter.name === name);
    if (given) return typed(elaborator, given.type, id);
  }
  elaborator.host.dependsOn(ON_ANY_NAME);
  const known = [...entity.values.keys(), ...entity.members.keys()].sort();
  return elaborator.problem('unknown-member', id, {
    name,
    of: entity.path || 'the project',
    known: known.slice(0, 12).join(', ') || 'nothing',
    similar: nearest(name, known) ?? '',
  });
}

function lookUp(elaborator: Elaboration, name: string, from: Entity, id: number): Value | undefined {
  const { namespace } = elaborator.host;
  const written = namespace.topOf(elaborator.item.placement.file);
  for (let at: Entity | null = from; at; at = at.parent) {
    const value = valueIn(elaborator, at, name);
    if (value) return asGiven(elaborator, at, name, value);
    const member = at.members.get(name);
    if (member) return entityValue(member);
    if (at.template && at.parent?.base) {
      // A name in the body of a kind is looked up where the kind stands, before the place of its instance.
      const outer: Value | undefined = at.parent.base.parent ? outerOfKind(elaborator, at.parent, name) : undefined;
      if (outer) return outer;
    } else if (at.base && written !== namespace.root) {
      // What an instance has of a kind of a library was written there.
      const outer = outerOfKind(elaborator, at, name) ?? seenFrom(elaborator, name, written, id);
      if (outer) return outer;
    }
    // An instance that lacks what its kind is given has the type of it alone.
    const lacks = at.base && declared(at.base, 'kind').given.find(parameter => parameter.name === name);
    if (lacks) return typed(elaborator, lacks.type, id, { name, part: at.path });
    if (at.kind === 'part' && (name === 'name' || name === 'title'))
      return { kind: 'text', text: name === 'name' ? at.name : titleOf(at) };
    if (at.kind === 'kind') {
      const given = declared(at, 'kind').given.find(parameter => parameter.name === name);
      if (given) return typed(elaborator, given.type, id);
      if (name === 'name' || name === 'title') return { kind: 'text', text: at.name };
    }
  }
  const found =
    seenFrom(elaborator, name, written, id) ??
    (written === namespace.root ? undefined : seenFrom(elaborator, name, namespace.topAbove(from), id));
  if (found) return found;
  const item = elaborator.host.library.root.values.get(name);
  if (item)
    return item.parameters
      ? { kind: 'formula', item, scope: elaborator.host.library.root }
      : elaborator.host.read(elaborator.host.library.root, item);
  return undefined;
}

/** By any unambiguous tail: what stands below `top`, else in the libraries that are used there. */
function seenFrom(elaborator: Elaboration, name: string, top: Entity, id: number): Value | undefined {
  const { namespace } = elaborator.host;
  const seen = [...namespace.namedFrom(name, top)].filter(entity => !entity.template && !insideKind(entity));
  const isOwn = seen.some(entity => namespace.topAbove(entity) === top);
  const libraries = isOwn ? [] : namespace.librariesNamed(name, top);
  const entities = namespace.outermost([...libraries, ...seen]);
  const holders = isOwn ? [] : namespace.usedFrom(top).filter(library => library.values.has(name));
  if (entities.length + holders.length > 1)
    return elaborator.problem('ambiguous-name', id, {
      name,
      candidates: [...entities.map(entity => entity.path), ...holders.map(library => `${library.path}.${name}`)]
        .sort()
        .join(', '),
    });
  if (entities.length > 0) return entityValue(entities[0]!);
  return holders[0] && valueIn(elaborator, holders[0], name);
}

function outerOfKind(elaborator: Elaboration, instance: Entity, name: string): Value | undefined {
  const own = valueIn(elaborator, instance, name);
  if (own) return asGiven(elaborator, instance, name, own);
  for (let at: Entity | null = instance.base!.parent; at; at = at.parent) {
    const value = valueIn(elaborator, at, name);
    if (value) return value;
    const member = at.members.get(name);
    if (member) return entityValue(member);
  }
  return undefined;
}

function valueIn(elaborator: Elaboration, entity: Entity, name: string): Value | undefined {
  const found = elaborator.host.itemOf(entity, name);
  if (!found) return undefined;
  const { item } = found;
  if (item.kind === 'unit' || !isCalculated(entity.kind, name)) return undefined;
  return item.parameters ? { kind: 'formula', item, scope: entity } : elaborator.host.read(entity, item);
}

function similar(elaborator: Elaboration, name: string): string | null {
  const { namespace, library } = elaborator.host;
  const names = [...BUILTINS.keys(), ...library.root.values.keys()];
  for (let at: Entity | null = elaborator.scope; at; at = at.parent) {
    names.push(...alikeIn(at.values, namespace.version, name));
    names.push(...alikeIn(at.members, namespace.version, name));
  }
  for (const known of alikeIn(namespace.entitiesByName, namespace.version, name))
    if ([...namespace.named(known)].some(({ kind }) => isNamedInExpressions(kind))) names.push(known);
  return nearest(name, names);
}

/** Names of very many that begin or end like one: thousands of names may be misspelt at once. */
const MANY_NAMES = 500;
const indices = new WeakMap<object, { readonly stamp: number; readonly byEnds: ReadonlyMap<string, string[]> }>();

function alikeIn(names: ReadonlyMap<string, unknown>, stamp: number, name: string): Iterable<string> {
  if (names.size <= MANY_NAMES) return names.keys();
  let index = indices.get(names);
  if (index?.stamp !== stamp) {
    const byEnds = new Map<string, string[]>();
    for (const known of names.keys())
      for (const end of endsOf(known)) {
        const list = byEnds.get(end);
        if (list) list.push(known);
        else byEnds.set(end, [known]);
      }
    index = { stamp, byEnds };
    indices.set(names, index);
  }
  return endsOf(name).flatMap(end => (index.byEnds.get(end) ?? []).slice(0, MANY_NAMES));
}

const endsOf = (name: string): [string, string] => [`${name.slice(0, 3)}…`, `…${name.slice(-3)}`];

function isOfKind(scope: Entity): boolean {
  return scope.kind === 'kind' || insideKind(scope);
}

function insideKind(entity: Entity): boolean {
  for (let at = entity.parent; at; at = at.parent) if (at.kind === 'kind') return true;
  return false;
}
