/** Requirements, and what verifies, waives or contradicts them, indexed by what they are about. */
import type { Reference } from '../model/expression.js';
import { byPlace, type Entity, type Namespace } from '../model/namespace.js';
import type { Evaluation } from './evaluation/evaluation.js';
import { cited } from './values/words.js';
import { onName, type Dependency } from '../model/dependency.js';
import { declared, saidIn } from '../model/statements.js';

const RELATIONS = ['parents', 'children', 'evidence', 'waivers', 'nonconformances'] as const;

export class VerificationIndex {
  /** By their labels, which stay where texts move. */
  readonly requirements: readonly Entity[];
  readonly children = new Map<Entity, Entity[]>();
  readonly parents = new Map<Entity, Entity[]>();
  /** Requirements that stand above themselves. */
  readonly circular: ReadonlySet<Entity>;
  readonly evidence = new Map<Entity, Entity[]>();
  readonly waivers = new Map<Entity, Entity[]>();
  readonly nonconformances = new Map<Entity, Entity[]>();
  /** Nonconformances that name no requirement. */
  readonly loose: readonly Entity[];
  /** Nonconformances by the article that they are on. */
  readonly departures = new Map<Entity, Entity[]>();
  /** Evidence by the label of what it supersedes. */
  readonly superseding = new Map<string, Entity[]>();
  /** Requirements by the evidence, waivers, articles, parts, lots and materials that their status rests on. */
  private readonly resting = new Map<Entity, Set<Entity>>();
  /** Evidence and articles by what they themselves rest on: what was measured in them stands or falls with it. */
  private readonly sources = new Map<Entity, Set<Entity>>();
  /** Names that evidence, articles and lots cite: another thing of that name may be meant then. */
  private readonly cited = new Set<Dependency>();

  /** What each requirement said to be above it. */
  private readonly said = new Map<Entity, string>();

  constructor(evaluation: Evaluation) {
    const { namespace } = evaluation;
    this.requirements = [...namespace.entitiesOf('requirement')].filter(entity => !isTemplate(entity)).sort(byLabel);
    for (const requirement of this.requirements) {
      const { parents } = declared(requirement, 'requirement');
      if (parents.length > 0) this.said.set(requirement, parentsSaid(requirement));
      for (const parent of parents) {
        for (const entity of resolveRequirement(evaluation, parent, requirement)) {
          push(this.children, entity, requirement);
          push(this.parents, requirement, entity);
        }
      }
    }
    this.circular = circularIn(this.parents, this.children);
    for (const [kind, into] of [
      ['evidence', this.evidence],
      ['waiver', this.waivers],
      ['nonconformance', this.nonconformances],
    ] as const) {
      for (const entity of namespace.ofKind(kind))
        for (const target of declared(entity, kind).targets)
          for (const requirement of resolveRequirement(evaluation, target)) {
            push(into, requirement, entity);
            this.rest(this.resting, namespace, requirement, entity);
          }
    }
    for (const entity of namespace.ofKind('nonconformance'))
      for (const article of articlesOf(namespace, entity)) push(this.departures, article, entity);
    for (const entity of namespace.ofKind('evidence'))
      for (const reference of declared(entity, 'evidence').supersedes) push(this.superseding, cited(reference), entity);
    for (const kind of ['evidence', 'article'])
      for (const entity of namespace.ofKind(kind)) this.rest(this.sources, namespace, entity, entity);
    this.loose = namespace
      .ofKind('nonconformance')
      .filter(entity => declared(entity, 'nonconformance').targets.length === 0);
    for (const kind of ['article', 'lot', 'evidence', 'nonconformance'])
      for (const { declaration } of namespace.ofKind(kind)) {
        const of = saidIn(declaration, 'of');
        for (const { path } of [...(of ? [of] : []), ...saidIn(declaration, 'on'), ...saidIn(declaration, 'from')])
          this.cited.add(onName(path.at(-1)!));
      }
  }

  /** Notes that something rests on evidence, a waiver, an article and all that this rests on. */
  private rest(into: Map<Entity, Set<Entity>>, namespace: Namespace, what: Entity, on: Entity): void {
    const add = (entity: Entity | null): void => {
      if (!entity) return;
      const known = into.get(entity);
      if (known) known.add(what);
      else into.set(entity, new Set([what]));
    };
    add(on);
    for (const article of on.kind === 'article' ? [on] : articlesOf(namespace, on)) {
      add(article);
      add(madeOf(namespace, article));
      for (const lot of lotsOf(namespace, article)) {
        add(lot);
        add(madeOf(namespace, lot));
      }
    }
  }

  /** Evidence and articles that may stand or not when `entity` is something else. */
  sourcesOn(entity: Entity): Iterable<Entity> {
    return this.sources.get(entity) ?? [];
  }

  /** Requirements that may come to another status when `entity` is something else. */
  restingOn(entity: Entity): Iterable<Entity> {
    return this.resting.get(entity) ?? [];
  }

  /** Whether a requirement says now that others are above it. */
  hasOtherParents(requirement: Entity): boolean {
    return parentsSaid(requirement) !== (this.said.get(requirement) ?? '');
  }

  /** Whether something that evidence rests on is cited by what one of these is on. */
  cites(dependencies: ReadonlySet<Dependency>): boolean {
    for (const dependency of dependencies) if (this.cited.has(dependency)) return true;
    return false;
  }
}

const byLabel = (x: Entity, y: Entity): number => (x.name === y.name ? order(x.key, y.key) : order(x.name, y.name));
const order = (x: string, y: string): number => (x < y ? -1 : x > y ? 1 : 0);

const parentsSaid = (requirement: Entity): string =>
  declared(requirement, 'requirement')
    .parents.map(parent => parent.path.join('.'))
    .join();

/** Articles that evidence, a waiver or a nonconformance is on. */
export function articlesOf(namespace: Namespace, entity: Entity): Entity[] {
  return saidIn(entity.declaration, 'on').flatMap(on =>
    namespace.labelled(cited(on)).filter(found => found.kind === 'article'),
  );
}

/** Lots that an article is made from. */
export function lotsOf(namespace: Namespace, article: Entity): Entity[] {
  return declared(article, 'article').from.flatMap(from =>
    namespace.labelled(cited(from)).filter(found => found.kind === 'lot'),
  );
}

/** The part that an article is of, or the material of a lot. */
export function madeOf(namespace: Namespace, entity: Entity): Entity | null {
  const of = saidIn(entity.declaration, 'of');
  return of ? namespace.resolvePath(of.path, entity) : null;
}

/** Requirements in the order in which they are written. */
export function requirementsInOrder({ requirements }: VerificationIndex): Entity[] {
  return requirements.toSorted(byPlace);
}

/** Requirements of `next` with other relations than before, new ones, and those that share a label with what moved. */
export function movedRelations(before: VerificationIndex, next: VerificationIndex): Set<Entity> {
  const known = new Set(before.requirements);
  const moved = RELATIONS.flatMap(relation =>
    [...new Set([...before[relation].keys(), ...next[relation].keys()])].filter(
      requirement => !sameList(before[relation].get(requirement), next[relation].get(requirement)),
    ),
  );
  const added = next.requirements.filter(requirement => !known.has(requirement));
  const present = new Set(next.requirements);
  const labels = new Set(
    [...added, ...before.requirements.filter(other => !present.has(other))].map(({ label }) => label),
  );
  return new Set([...moved, ...added, ...next.requirements.filter(({ label }) => labels.has(label))]);
}

function sameList(x: readonly Entity[] = [], y: readonly Entity[] = []): boolean {
  return x.length === y.length && x.every((entity, i) => entity === y[i]);
}

/** What stands in a `kind` is no requirement of its own; each instance is. */
export function isTemplate(entity: Entity): boolean {
  for (let at: Entity | null = entity; at; at = at.parent) if (at.kind === 'kind') return true;
  return false;
}

/**
 * A label names a requirement; the label of a kind's requirement names that of every instance, and seen from one
 * instance its own.
 */
export function resolveRequirement(evaluation: Evaluation, reference: Reference, from: Entity | null = null): Entity[] {
  const label = cited(reference);
  const found = evaluation.namespace
    .labelled(label)
    .filter(entity => entity.kind === 'requirement' && !isTemplate(entity));
  if (found.length > 0) return found;
  const instances = [...evaluation.namespace.named(label)]
    .filter(entity => entity.kind === 'requirement' && entity.template)
    .sort(byInstance);
  const own = instances.filter(entity => entity.instance() === from?.instance());
  if (own.length > 0) return own;
  return instances.length > 0
    ? instances
    : evaluation.namespace
        .candidates(reference.path, evaluation.namespace.root)
        .filter(entity => entity.kind === 'requirement' && !isTemplate(entity));
}

/** What a kind repeats stands in one place for all: in the order of the parts that repeat it. */
function byInstance(x: Entity, y: Entity): number {
  const [first, second] = [x.instance(), y.instance()];
  return (first && second && byPlace(first, second)) || byPlace(x, y);
}

/** What is left when all that has none above it, or none below, is taken away again and again. */
function circularIn(
  above: ReadonlyMap<Entity, readonly Entity[]>,
  below: ReadonlyMap<Entity, readonly Entity[]>,
): ReadonlySet<Entity> {
  const left = new Set(above.keys());
  const ends = (entity: Entity): boolean =>
    [above, below].some(relation => !(relation.get(entity) ?? []).some(next => left.has(next)));
  const work = [...left];
  for (const entity of work) {
    if (!left.has(entity) || !ends(entity)) continue;
    left.delete(entity);
    work.push(...(above.get(entity) ?? []), ...(below.get(entity) ?? []));
  }
  return left;
}

function push<K, V>(map: Map<K, V[]>, key: K, value: V): void {
  const list = map.get(key);
  if (list) list.push(value);
  else map.set(key, [value]);
}
