/** What stands at a place in a document: the node, its item, and what it names. */
import { keyOfValue, nameOf } from '../engine/evaluation/cell-key.js';
import { Cell, SlotOwner } from '../engine/evaluation/cell.js';
import type { Evaluation } from '../engine/evaluation/evaluation.js';
import type { Value } from '../engine/values/value.js';
import { expressionsOf, itemsOf } from '../findings/text-search.js';
import { spanOf, type Declaration, type Item, type Statements, type ValueItem } from '../model/declaration.js';
import { walk, type Binder, type Expression, type Reference } from '../model/expression.js';
import { keyOf, type Entity } from '../model/namespace.js';
import type { Project } from '../project/project.js';
import { inScene } from './evaluate.js';
import { saidIn } from '../model/statements.js';

/** A thing that names lead to. */
export type Target =
  | { readonly kind: 'entity'; readonly entity: Entity }
  | { readonly kind: 'value'; readonly entity: Entity; readonly item: ValueItem }
  | { readonly kind: 'parameter'; readonly item: Item; readonly id: number; readonly name: string };

export interface Spot {
  readonly entity: Entity;
  readonly item: Item | null;
  readonly node: Expression | null;
  /** Span of the name itself. */
  readonly start: number;
  readonly end: number;
  readonly name: string;
  readonly target: Target | null;
  readonly value: Value | null;
}

/** The declarations of a file from the outside in that enclose an offset, with their entities. */
export function enclosing(
  project: Project,
  file: string,
  offset: number,
): { declaration: Declaration; entity: Entity }[] {
  const found: { declaration: Declaration; entity: Entity }[] = [];
  const namespace = project.namespaceOf(file);
  const visit = (declaration: Declaration, prefix: string): void => {
    for (const child of declaration.children) {
      const span = spanOf(child, 0);
      if (offset < span.start || offset > span.end) continue;
      const key = prefix + keyOf(child);
      const entity = namespace.entities.get(key);
      if (entity) found.push({ declaration: child, entity });
      visit(child, `${key}.`);
    }
  };
  for (const piece of namespace.piecesOf(file)) visit(piece.root, namespace.prefixOf(file));
  return found;
}

/** What stands at an offset. */
export function spotAt(project: Project, file: string, offset: number): Spot | null {
  const around = enclosing(project, file, offset);
  for (const { declaration, entity } of [...around].reverse()) {
    const inner = insideDeclaration(project, declaration, entity, offset);
    if (inner) return inner;
  }
  const namespace = project.namespaceOf(file);
  for (const piece of namespace.piecesOf(file)) {
    const inner = insideDeclaration(project, piece.root, namespace.topOf(file), offset);
    if (inner) return inner;
  }
  return null;
}

function insideDeclaration(project: Project, declaration: Declaration, entity: Entity, offset: number): Spot | null {
  const name = spanOf(declaration, 2);
  if (declaration.kind !== 'file' && declaration.name && offset >= name.start && offset <= name.end)
    return {
      entity,
      item: null,
      node: null,
      ...name,
      name: declaration.name,
      target: { kind: 'entity', entity },
      value: null,
    };
  for (const reference of referencesOf(declaration)) {
    const span = spanOf(declaration, reference.id);
    if (offset < span.start || offset > span.end) continue;
    const target = resolveReference(project, entity, reference.path);
    return {
      entity,
      item: null,
      node: null,
      ...span,
      name: reference.path[reference.path.length - 1]!,
      target: target ? { kind: 'entity', entity: target } : null,
      value: null,
    };
  }
  for (const item of itemsOf(declaration)) {
    const found = insideItem(project, entity, item, offset);
    if (found) return found;
  }
  return null;
}

/** References outside expressions: `of`, `from`, `parent`, `for`, `by`. */
export function referencesOf(declaration: Declaration): Reference[] {
  const said = <K extends keyof Statements>(what: K): Statements[K] => saidIn(declaration, what);
  return [
    said('of'),
    said('is'),
    ...said('on'),
    ...said('from'),
    ...said('in'),
    ...said('targets'),
    ...said('parents'),
    ...said('supersedes'),
    ...said('free'),
    ...said('inputs'),
    ...said('exempt').flatMap(entry => entry.targets),
    ...said('methods').flatMap(method => [method.article, method.milestone]),
    said('source')?.document ?? null,
  ].filter(reference => reference !== null);
}

/** References in the annotations of an item. */
export function annotationReferences(item: Item): Reference[] {
  if (!('annotations' in item)) return [];
  const { source, from, under, due, frame } = item.annotations;
  return [
    ...(source?.document ? [source.document] : []),
    ...(from ?? []),
    ...(under ?? []),
    ...(due ? [due] : []),
    ...(frame ? [frame] : []),
  ];
}

export function resolveReference(project: Project, from: Entity, path: readonly string[]): Entity | null {
  return project.namespace.resolvePath(path, from) ?? project.namespace.labelled(path.join('.'))[0] ?? null;
}

function insideItem(project: Project, entity: Entity, item: Item, offset: number): Spot | null {
  if ('path' in item) {
    const span = spanOf(item, item.id);
    if (offset >= span.start && offset <= span.end)
      return {
        entity,
        item,
        node: null,
        ...span,
        name: item.path[item.path.length - 1]!,
        target: targetOfItem(project, entity, item),
        value: valueOfItem(project, entity, item),
      };
  }
  for (const reference of annotationReferences(item)) {
    const span = spanOf(item, reference.id);
    if (offset < span.start || offset > span.end) continue;
    const target = resolveReference(project, entity, reference.path);
    return {
      entity,
      item,
      node: null,
      ...span,
      name: reference.path[reference.path.length - 1]!,
      target: target ? { kind: 'entity', entity: target } : null,
      value: null,
    };
  }
  for (const bound of boundNames(item)) {
    const span = spanOf(item, bound.id);
    if (offset >= span.start && offset <= span.end && span.end > span.start)
      return {
        entity,
        item,
        node: null,
        ...span,
        name: bound.name,
        target: { kind: 'parameter', item, id: bound.id, name: bound.name },
        value: null,
      };
  }
  let best: { node: Expression; start: number; end: number; name: string } | null = null;
  for (const root of expressionsOf(item)) {
    walk(root, node => {
      const named = nameSpan(item, node);
      if (!named || offset < named.start || offset > named.end) return;
      if (!best || named.end - named.start <= best.end - best.start) best = { node, ...named };
    });
  }
  if (!best) return null;
  const { node, start, end, name } = best as { node: Expression; start: number; end: number; name: string };
  const value = traced(project, entity, item)?.get(node.id) ?? null;
  return { entity, item, node, start, end, name, target: targetOf(project, entity, item, node, value), value };
}

/** Where a node carries a name. */
export function nameSpan(item: Item, node: Expression): { start: number; end: number; name: string } | null {
  switch (node.kind) {
    case 'name':
      return { ...spanOf(item, node.id), name: node.name };
    case 'member':
      return { ...spanOf(item, node.nameId), name: node.name };
    case 'label': {
      const span = spanOf(item, node.id);
      return { start: span.start + 1, end: span.end, name: node.label };
    }
    default:
      return null;
  }
}

/** Parameters and binders of an item. */
export function boundNames(item: Item): { id: number; name: string }[] {
  const names: { id: number; name: string }[] = [];
  const binder = (entry: Binder): void => void names.push({ id: entry.id, name: entry.name });
  if (item.kind === 'check') item.binders.forEach(binder);
  if ('parameters' in item && item.parameters)
    for (const parameter of item.parameters) names.push({ id: parameter.id, name: parameter.name });
  for (const root of expressionsOf(item)) {
    walk(root, node => {
      if (node.kind !== 'call') return;
      for (const argument of node.arguments) {
        argument.binders.forEach(binder);
        if (argument.form === 'unknown' && argument.name) names.push({ id: argument.id, name: argument.name });
      }
    });
  }
  return names;
}

export function targetOfItem(project: Project, entity: Entity, item: ValueItem): Target {
  if (item.kind !== 'override') return { kind: 'value', entity, item };
  const owner = project.namespace.resolvePath(item.path.slice(0, -1), project.namespace.root);
  const overridden = owner?.values.get(item.path[item.path.length - 1]!);
  return owner && overridden ? { kind: 'value', entity: owner, item: overridden } : { kind: 'value', entity, item };
}

function valueOfItem(project: Project, entity: Entity, item: ValueItem): Value | null {
  return project.view.evaluation.resultOf(entity, keyOfValue(entity, item)) ?? null;
}

/** The value of every node of an item: for a check in its first row, for a formula as its type or a caller says. */
export function traced(project: Project, entity: Entity, item: Item): Map<number, Value> | null {
  return inScene(project, scene => {
    const elaborator = scene.elaborator(item, entity);
    const trace = (elaborator.trace = new Map<number, Value>());
    const env = scene.environment(entity, item);
    for (const root of expressionsOf(item)) elaborator.expression(root, env);
    return trace;
  });
}

/** What a name in an item means; of a name that a sweep binds, in its first row. */
export function targetOf(
  project: Project,
  entity: Entity,
  item: Item,
  node: Expression,
  value: Value | null,
): Target | null {
  if (node.kind === 'name') {
    const bound = boundNames(item).find(candidate => candidate.name === node.name);
    if (bound) return { kind: 'parameter', item, id: bound.id, name: bound.name };
  }
  return targetOfValue(project.view.evaluation, value) ?? byName(project, entity, item, node);
}

/** What a value is the value of. */
export function targetOfValue(evaluation: Evaluation, value: Value | null): Target | null {
  if (!value) return null;
  switch (value.kind) {
    case 'entity':
      return { kind: 'entity', entity: value.entity };
    case 'formula':
      return { kind: 'value', entity: value.scope, item: value.item };
    case 'table':
      return value.origin ? { kind: 'value', entity: value.origin.entity, item: value.origin.item } : null;
    case 'quantity':
      return ofSlot(evaluation, value.node);
    case 'truth':
      return ofSlot(evaluation, value.node);
    case 'range':
      return ofSlot(evaluation, value.low.node);
    case 'any-direction':
      return ofSlot(evaluation, value.magnitude.node);
    case 'vector':
      return ofSlot(evaluation, value.nodes[0]);
    default:
      return null;
  }
}

function ofSlot(evaluation: Evaluation, node: number): Target | null {
  const detail = evaluation.arena.details.get(node);
  const owner = detail?.kind === 'slot' ? detail.owner : null;
  const cell = owner instanceof SlotOwner ? owner.cell : owner instanceof Cell ? owner : null;
  if (!cell?.item || !('path' in cell.item)) return null;
  const item = cell.entity.values.get(nameOf(cell.key) ?? '') ?? cell.item;
  return { kind: 'value', entity: cell.entity, item };
}

/** A name whose value tells nothing (a text, a list): by the scopes it is looked up in. */
function byName(project: Project, entity: Entity, item: Item, node: Expression): Target | null {
  if (node.kind !== 'name') return null;
  for (let at: Entity | null = entity; at; at = at.parent) {
    const value = at.values.get(node.name);
    if (value) return { kind: 'value', entity: at, item: value };
    const member = at.members.get(node.name);
    if (member) return { kind: 'entity', entity: member };
  }
  const { namespace } = project;
  const found = [...namespace.namedFrom(node.name, namespace.topOf(item.placement.file))].filter(
    candidate => !candidate.template,
  );
  return found.length === 1 ? { kind: 'entity', entity: found[0]! } : null;
}

export function sameTarget(x: Target, y: Target): boolean {
  if (x.kind === 'entity' && y.kind === 'entity') return x.entity === y.entity;
  if (x.kind === 'value' && y.kind === 'value') return x.item === y.item;
  return x.kind === 'parameter' && y.kind === 'parameter' && x.item === y.item && x.id === y.id;
}

/** Where a target is declared. */
export function declarationSpan(target: Target): { file: string; start: number; end: number } {
  if (target.kind === 'entity')
    return { file: target.entity.declaration.placement.file, ...spanOf(target.entity.declaration, 2) };
  return {
    file: target.item.placement.file,
    ...spanOf(target.item, target.kind === 'value' ? target.item.id : target.id),
  };
}

export function entityOfItem(project: Project, item: Item): Entity | null {
  const { file, start } = item.placement;
  const around = enclosing(project, file, start + item.spans[0]!);
  return around[around.length - 1]?.entity ?? project.namespaceOf(file).topOf(file);
}
