/** Every place that names a thing. */
import type { Value } from '../engine/values/value.js';
import { expressionsOf, itemsOf } from '../findings/text-search.js';
import { spanOf, type Declaration, type Item } from '../model/declaration.js';
import { walk, type Expression, type Reference } from '../model/expression.js';
import { keyOf, type Entity } from '../model/namespace.js';
import { LIBRARY, type Project } from '../project/project.js';
import {
  annotationReferences,
  declarationSpan,
  entityOfItem,
  nameSpan,
  referencesOf,
  resolveReference,
  sameTarget,
  spotAt,
  targetOf,
  targetOfItem,
  type Spot,
  type Target,
} from './resolve.js';
import { sweptLoads } from './swept-loads.js';

/** What a name in an item means in some row or other of what it sweeps: a field of a load, that of every load there. */
function meaningsOf(
  project: Project,
  entity: Entity,
  item: Item,
  node: Expression,
  values: ReadonlyMap<number, Value> | null,
): Target[] {
  const loads = node.kind === 'member' && values ? sweptLoads(project).in(entity, item, node.receiver, values) : [];
  const fields = loads.flatMap((load): Target[] => {
    const field = load.values.get((node as Expression & { kind: 'member' }).name);
    return field ? [{ kind: 'value', entity: load, item: field }] : [];
  });
  if (fields.length > 0) return fields;
  const target = targetOf(project, entity, item, node, values?.get(node.id) ?? null);
  return target ? [target] : [];
}

/** All that the name at a spot means, as `meaningsOf`. */
export function targetsOf(project: Project, spot: Spot | null): Target[] {
  if (!spot) return [];
  const { entity, item, node, target } = spot;
  if (item && node?.kind === 'member')
    return meaningsOf(project, entity, item, node, sweptLoads(project).valuesOf(entity, item));
  return target ? [target] : [];
}

/** A place that names a target, with the item it stands in (null in a head), and all that it names. */
export interface Use {
  readonly file: string;
  readonly start: number;
  readonly end: number;
  readonly entity: Entity;
  readonly item: Item | null;
  readonly targets: readonly Target[];
}

/** The projects that know what targets lead to, each with the targets as it has them: a library is part of several. */
export function knowing(
  projects: readonly Project[],
  project: Project,
  targets: readonly Target[],
): (readonly [Project, readonly Target[]])[] {
  const others = projects.filter(other => other !== project);
  return [
    [project, targets],
    ...others.flatMap((other): (readonly [Project, readonly Target[]])[] => {
      const theirs = targets.flatMap(target => {
        const { file, start } = declarationSpan(target);
        return other.files.includes(file) ? targetsOf(other, spotAt(other, file, start)) : [];
      });
      return theirs.length > 0 ? [[other, theirs]] : [];
    }),
  ];
}

/** Every place that names one of some targets, which have one name. */
export function usesOf(
  project: Project,
  targets: readonly Target[],
  files: readonly string[] = filesThatMayUse(project, targets),
): Use[] {
  return [...usesByFile(project, targets, files)].flat();
}

/** The same file by file, so that long work can be broken off. Only what carries the target's name is looked at. */
export function* usesByFile(
  project: Project,
  targets: readonly Target[],
  files: readonly string[] = filesThatMayUse(project, targets),
): Iterable<Use[]> {
  const [target] = targets;
  if (!target) return;
  const search = new Search(project, targets, target);
  if (target.kind === 'parameter') {
    const entity = entityOfItem(project, target.item);
    if (entity) search.item(entity, target.item);
    yield search.take();
    return;
  }
  for (const file of files) {
    const namespace = project.namespaceOf(file);
    for (const piece of namespace.piecesOf(file))
      search.declaration(piece.root, namespace.topOf(file), namespace.prefixOf(file));
    yield search.take();
  }
}

const nameOf = (target: Target): string =>
  target.kind === 'entity'
    ? target.entity.name
    : target.kind === 'value'
      ? target.item.path[target.item.path.length - 1]!
      : target.name;

class Search {
  private uses: Use[] = [];
  private readonly name: string;

  constructor(
    private readonly project: Project,
    private readonly targets: readonly Target[],
    private readonly target: Target,
  ) {
    this.name = nameOf(target);
  }

  /** What was found since it was last taken. */
  take(): Use[] {
    const { uses } = this;
    this.uses = [];
    return uses;
  }

  declaration(declaration: Declaration, entity: Entity, prefix: string): void {
    for (const reference of referencesOf(declaration)) this.reference(entity, declaration, null, reference);
    for (const item of itemsOf(declaration)) this.item(entity, item);
    for (const child of declaration.children) {
      const key = prefix + keyOf(child);
      const inner = this.project.namespaceOf(declaration.placement.file).entities.get(key);
      if (inner) this.declaration(child, inner, `${key}.`);
    }
  }

  item(entity: Entity, item: Item): void {
    const { project, targets, name } = this;
    const add = (start: number, meant: readonly Target[]): void => {
      if (meant.some(found => targets.some(wanted => sameTarget(found, wanted))))
        this.uses.push({
          file: item.placement.file,
          start,
          end: start + name.length,
          entity,
          item,
          targets: meant,
        });
    };
    if (item.kind === 'override' && item.path[item.path.length - 1] === name)
      add(spanOf(item, item.id).end - name.length, [targetOfItem(project, entity, item)]);
    for (const reference of annotationReferences(item)) this.reference(entity, item, item, reference);
    let values: ReadonlyMap<number, Value> | null | undefined;
    for (const root of expressionsOf(item)) {
      walk(root, node => {
        const named = nameSpan(item, node);
        if (
          !named ||
          named.name.split('/')[0] !== name ||
          (node.kind === 'name' && targets.every(wanted => meansAnother(entity, name, wanted)))
        )
          return;
        values ??= sweptLoads(project).valuesOf(entity, item);
        add(named.start, meaningsOf(project, entity, item, node, values));
      });
    }
  }

  private reference(
    entity: Entity,
    owner: { spans: readonly number[]; placement: { file: string; start: number } },
    item: Item | null,
    reference: Reference,
  ): void {
    const { project, target, targets, name } = this;
    const last = reference.path.findIndex(part => part.split('/')[0] === name);
    if (last < 0 || target.kind !== 'entity') return;
    const found = resolveReference(project, entity, reference.path.slice(0, last + 1));
    const same =
      found === target.entity ||
      (found?.template ?? null) === target.entity ||
      project.namespace.labelled(name)[0] === target.entity;
    if (!same) return;
    const offset = reference.path.slice(0, last).join('.').length + (last > 0 ? 1 : 0);
    const start = spanOf(owner, reference.id).start + offset;
    this.uses.push({ file: owner.placement.file, start, end: start + name.length, entity, item, targets });
  }
}

/** Formulas of the library call each other, and see nothing of a project. */
function filesThatMayUse(project: Project, targets: readonly Target[]): readonly string[] {
  return targets.some(target => declarationSpan(target).file.startsWith(LIBRARY))
    ? [...project.library.paths, ...project.files]
    : project.files;
}

/**
 * Whether a simple name surely means something nearer than the target. Inside kinds and their instances only evaluation
 * tells.
 */
function meansAnother(from: Entity, name: string, target: Target): boolean {
  for (let at: Entity | null = from; at; at = at.parent) {
    if (at.base || at.template || at.kind === 'kind') return false;
    const item = at.values.get(name);
    if (item) return target.kind !== 'value' || target.item !== item;
    const member = at.members.get(name);
    if (member) return target.kind !== 'entity' || target.entity !== member;
  }
  return false;
}

/** What the names in an item lead to, each target with the places that name it. */
export function targetsIn(
  project: Project,
  entity: Entity,
  item: Item,
): { readonly target: Target; readonly places: { start: number; end: number }[] }[] {
  const found: { target: Target; places: { start: number; end: number }[] }[] = [];
  const values = sweptLoads(project).valuesOf(entity, item);
  for (const root of expressionsOf(item)) {
    walk(root, node => {
      const named = nameSpan(item, node);
      for (const target of named ? meaningsOf(project, entity, item, node, values) : []) {
        const known = found.find(entry => sameTarget(entry.target, target));
        if (known) known.places.push(named!);
        else found.push({ target, places: [named!] });
      }
    });
  }
  return found;
}
