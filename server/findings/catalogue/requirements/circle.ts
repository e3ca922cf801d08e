import type { Place } from '../../../engine/values/value.js';
import { resolveRequirement } from '../../../engine/verification-index.js';
import { walk } from '../../../model/expression.js';
import type { Entity } from '../../../model/namespace.js';
import { at, rule, type ProjectView } from '../../rule.js';
import { declared } from '../../../model/statements.js';

export default rule({
  code: 'circle',
  severity: 'error',
  title: 'Things stand above each other in a circle',
  message: '{loop}: a {kind} cannot come to stand above itself. Take one of them out of the circle.',
  onProject(report, view): void {
    for (const [kind, next] of RELATIONS)
      for (const { place, way } of circlesOf(view.namespace.ofKind(kind), entity => next(entity, view)))
        report({ code: 'circle', place, data: { kind, loop: way.map(({ label }) => label).join(' → ') } });
  },
});

/** What something names as standing above it, with the place where it does. */
interface Step {
  readonly to: Entity;
  readonly place: Place;
}

const RELATIONS: readonly (readonly [string, (entity: Entity, view: ProjectView) => Step[]])[] = [
  ['requirement', parentsOf],
  ['part', outerOf],
  ['configuration', summandsOf],
];

function parentsOf(entity: Entity, view: ProjectView): Step[] {
  const { evaluation } = view.configurations[0]!;
  return declared(entity, 'requirement').parents.flatMap(parent =>
    resolveRequirement(evaluation, parent, entity).map(to => ({ to, place: at(entity.declaration, parent.id) })),
  );
}

function outerOf(entity: Entity, { namespace }: ProjectView): Step[] {
  const within = entity.template ? undefined : declared(entity, 'part').in[0];
  const to = within ? namespace.resolvePath(within.path, namespace.root) : entity.parent;
  return to?.kind === 'part' ? [{ to, place: at(entity.declaration, within?.id ?? 2) }] : [];
}

function summandsOf(entity: Entity, { namespace }: ProjectView): Step[] {
  const item = entity.declaration.value;
  const found: Step[] = [];
  if (item)
    walk(item.value, node => {
      const to =
        node.kind === 'name' ? [...namespace.named(node.name)].find(({ kind }) => kind === 'configuration') : undefined;
      if (to) found.push({ to, place: at(item, node.id) });
    });
  return found;
}

/** One step of each circle, with the way round it. */
function circlesOf(
  entities: readonly Entity[],
  next: (entity: Entity) => readonly Step[],
): { readonly place: Place; readonly way: readonly Entity[] }[] {
  const found: { place: Place; way: Entity[] }[] = [];
  const done = new Set<Entity>();
  for (const start of entities) {
    const path: { entity: Entity; steps: Step[] }[] = [];
    const enter = (entity: Entity): void => void path.push({ entity, steps: [...next(entity)] });
    if (!done.has(start)) enter(start);
    while (path.length > 0) {
      const { entity, steps } = path.at(-1)!;
      const step = steps.shift();
      if (!step) {
        done.add(entity);
        path.pop();
        continue;
      }
      const from = path.findIndex(entry => entry.entity === step.to);
      if (from >= 0) found.push({ place: step.place, way: [...path.slice(from).map(entry => entry.entity), step.to] });
      else if (!done.has(step.to)) enter(step.to);
    }
  }
  return found;
}
