/** The names that can be seen from a place, nearest first. */
import { ATTRIBUTES } from '../engine/elaboration/attributes.js';
import { BUILTINS, CONSTANTS } from '../engine/elaboration/builtins.js';
import { isHiddenEntry, type Value } from '../engine/values/value.js';
import { isCalculated, isNamedInExpressions } from '../language/index.js';
import type { Parameter, ValueItem } from '../model/declaration.js';
import type { Entity } from '../model/namespace.js';
import type { Project } from '../project/project.js';
import { enclosing } from './resolve.js';
import type { Caret } from './caret.js';
import { columnsOf, declared } from '../model/statements.js';

export type Visible =
  | {
      readonly kind: 'value';
      readonly name: string;
      readonly entity: Entity;
      readonly item: ValueItem;
      readonly distance: number;
    }
  | {
      readonly kind: 'given';
      readonly name: string;
      readonly entity: Entity;
      readonly parameter: Parameter;
      readonly distance: number;
    }
  | { readonly kind: 'entity'; readonly name: string; readonly entity: Entity; readonly distance: number }
  | { readonly kind: 'builtin' | 'constant'; readonly name: string; readonly distance: number };

const TOP = 6;
const FAR = 7;
const LIBRARY_DISTANCE = 8;
const BUILTIN_DISTANCE = 9;

/** The innermost entity around the caret: by its blocks, as far as the project knows them. */
export function entityAt(project: Project, file: string, caret: Caret): Entity {
  let found: Entity | null = null;
  const prefix = project.namespace.prefixOf(file);
  let key = '';
  for (const { keyword, name } of caret.blocks) {
    key += `${key ? '.' : ''}${name || `<${keyword}>`}`;
    const entity = project.namespace.entities.get(prefix + key);
    if (!entity) break;
    found = entity;
  }
  return found ?? enclosing(project, file, caret.offset).at(-1)?.entity ?? project.namespace.topOf(file);
}

/**
 * Everything an expression in `from` may name, each name once. `wanted` limits those far away, of which there may be
 * thousands.
 */
export function* visibleNames(project: Project, from: Entity, wanted: (name: string) => boolean): Iterable<Visible> {
  const seen = new Set<string>();
  const fresh = (name: string): boolean => name !== '' && !seen.has(name) && wanted(name) && !!seen.add(name);
  let distance = 0;
  for (let at: Entity | null = from; at && at.kind !== 'file' && at.kind !== 'library'; at = at.parent) {
    yield* within(at, distance, fresh);
    if (at.kind === 'kind')
      for (const parameter of declared(at, 'kind').given)
        if (fresh(parameter.name)) yield { kind: 'given', name: parameter.name, entity: at, parameter, distance };
    distance = Math.min(distance + 1, TOP - 1);
  }
  const { namespace, library } = project;
  const top = namespace.topAbove(from);
  const used = namespace.usedFrom(top);
  for (const holder of [top, ...used])
    for (const [name, item] of holder.values)
      if (item.kind !== 'unit' && fresh(name)) yield { kind: 'value', name, entity: holder, item, distance: TOP };
  for (const library of used)
    if (fresh(library.name)) yield { kind: 'entity', name: library.name, entity: library, distance: TOP };
  for (const entity of namespace.entities.values()) {
    if (!isNamedInExpressions(entity.kind) || entity.template || entity.contenders.length === 0) continue;
    const above = namespace.topAbove(entity);
    if (above !== top && !used.includes(above)) continue;
    const outermost = entity.parent === above;
    if ((outermost || (entity.kind === 'part' && namespace.named(entity.name).size === 1)) && fresh(entity.name))
      yield { kind: 'entity', name: entity.name, entity, distance: outermost ? TOP : FAR };
  }
  for (const [name, item] of library.root.values)
    if (fresh(name)) yield { kind: 'value', name, entity: library.root, item, distance: LIBRARY_DISTANCE };
  for (const name of BUILTINS.keys()) if (fresh(name)) yield { kind: 'builtin', name, distance: BUILTIN_DISTANCE };
  for (const name of CONSTANTS.keys()) if (fresh(name)) yield { kind: 'constant', name, distance: BUILTIN_DISTANCE };
}

function* within(entity: Entity, distance: number, fresh: (name: string) => boolean): Iterable<Visible> {
  for (const [name, item] of entity.values)
    if (item.kind !== 'unit' && item.kind !== 'override' && isCalculated(entity.kind, name) && fresh(name))
      yield { kind: 'value', name, entity, item, distance };
  for (const member of entity.members.values())
    if (isNamedInExpressions(member.kind) && fresh(member.name))
      yield { kind: 'entity', name: member.name, entity: member, distance };
}

/** What a dot behind a value leads to. */
export function* membersOf(
  project: Project,
  value: Value,
): Iterable<
  Visible | { readonly kind: 'entry'; readonly name: string; readonly value: Value | null; readonly distance: number }
> {
  const entry = (name: string, inner: Value | null = null) => ({
    kind: 'entry' as const,
    name,
    value: inner,
    distance: 0,
  });
  switch (value.kind) {
    case 'entity': {
      const { entity } = value;
      const seen = new Set<string>();
      yield* within(entity, 0, name => !seen.has(name) && !!seen.add(name));
      if (entity.kind === 'kind')
        for (const parameter of declared(entity, 'kind').given)
          if (!seen.has(parameter.name)) yield { kind: 'given', name: parameter.name, entity, parameter, distance: 0 };
      for (const column of columnsOf(entity)) if (!seen.has(column.name)) yield entry(column.name);
      for (const [name, attribute] of ATTRIBUTES)
        if (attribute.kinds.includes(entity.kind) && !seen.has(name))
          yield entry(name, project.view.evaluation.attribute(entity, name) ?? null);
      if (entity.kind === 'part' || entity.kind === 'load')
        for (const name of ['name', 'title']) if (!seen.has(name)) yield entry(name);
      return;
    }
    case 'load':
      for (const [name, inner] of loadFields(value.term)) yield entry(name, inner);
      return;
    case 'record':
      for (const [name, inner] of value.entries) if (!isHiddenEntry(name)) yield entry(name, inner);
      return;
    case 'range':
      yield entry('low', value.low);
      yield entry('high', value.high);
      return;
    case 'vector':
      for (const name of ['x', 'y', 'z']) yield entry(name);
      return;
    case 'quantity':
      if (value.direction) for (const name of ['y', 'z']) yield entry(name, value);
      return;
    case 'rows':
      for (const name of value.data.columns.keys()) yield entry(name);
      return;
    default:
      return;
  }
}

/** Fields of the loads that act together: all have the ones of the first. */
function loadFields(term: (Value & { kind: 'load' })['term']): Map<string, Value | null> {
  if (term.kind !== 'single') return new Map(term.terms.flatMap(inner => [...loadFields(inner)]));
  const fields = new Map<string, Value | null>(
    [...term.entity.values.keys()].filter(name => isCalculated('load', name)).map(name => [name, null]),
  );
  for (const [name, choice] of term.choices) fields.set(name, choice.value);
  return fields;
}
