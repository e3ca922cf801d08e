import type { Value } from '../../engine/values/value.js';
import type { Entity } from '../../model/namespace.js';
import { find } from '../bindings.js';
import { inScene } from '../evaluate.js';
import { feature, locationOf, type FeatureContext, type PositionParams } from '../feature.js';
import { declarationSpan, resolveReference, spotAt, type Spot } from '../resolve.js';
import { saidIn } from '../../model/statements.js';

/** Blocks whose values tell most by the block they belong to. */
const OWNERS = new Set(['material', 'load', 'environment', 'factors', 'growth']);

/**
 * What a thing is an example of: a part's kind (else its material), an article's part, a lot's material, a swept name's
 * loads.
 */
export default feature(
  'textDocument/typeDefinition',
  { typeDefinitionProvider: true },
  (context, params: PositionParams) => {
    const spot = spotAt(context.project, context.file, context.lines.offset(params.position));
    const entities = spot ? typesOf(context, spot) : [];
    return entities.map(entity => {
      const { file, start, end } = declarationSpan({ kind: 'entity', entity });
      return locationOf(context, file, start, end);
    });
  },
);

function typesOf(context: FeatureContext, spot: Spot): Entity[] {
  const { target } = spot;
  const { project } = context;
  switch (target?.kind) {
    case 'entity':
      return typeOfEntity(context, target.entity);
    case 'value': {
      const value = project.view.evaluation.valueOf(target.entity, target.item.name);
      return value?.kind === 'entity' ? [value.entity] : OWNERS.has(target.entity.kind) ? [target.entity] : [];
    }
    case 'parameter': {
      const value = inScene(project, scene => find(scene.environment(spot.entity, target.item), target.name) ?? null);
      return loadsOf(spot.value ?? value);
    }
    default:
      return [];
  }
}

function typeOfEntity(context: FeatureContext, entity: Entity): Entity[] {
  if (entity.base) return [entity.base];
  if (entity.kind === 'part') {
    const material = context.project.view.evaluation.valueOf(entity, 'material');
    return material?.kind === 'entity' ? [material.entity] : [];
  }
  const of = saidIn(entity.declaration, 'of');
  const found = of && resolveReference(context.project, entity, of.path);
  return found ? [found] : [];
}

function loadsOf(value: Value | null): Entity[] {
  if (value?.kind === 'entity') return [value.entity];
  const entities = new Set<Entity>();
  const visit = (term: (Value & { kind: 'load' })['term']): void => {
    if (term.kind === 'single') entities.add(term.entity);
    else term.terms.forEach(visit);
  };
  if (value?.kind === 'load') visit(value.term);
  return [...entities];
}
