import { SymbolKind, type TypeHierarchyItem } from 'vscode-languageserver-types';
import { titleOf } from '../../engine/values/describe.js';
import { spanOf } from '../../model/declaration.js';
import type { Entity } from '../../model/namespace.js';
import { feature, rangeOf, type FeatureContext, type PositionParams } from '../feature.js';
import { resolveReference, spotAt } from '../resolve.js';
import { BLOCK_KINDS } from '../block-kinds.js';
import { saidIn } from '../../model/statements.js';

interface ItemParams {
  readonly item: TypeHierarchyItem;
}

const KINDS = new Set(['kind', 'part', 'article']);

/**
 * From a kind to the parts that are of it, and on to the articles that were built: each is an example of the one above.
 */
export default [
  feature('textDocument/prepareTypeHierarchy', { typeHierarchyProvider: true }, (context, params: PositionParams) => {
    const target = spotAt(context.project, context.file, context.lines.offset(params.position))?.target;
    return target?.kind === 'entity' && KINDS.has(target.entity.kind) ? [itemOf(context, target.entity)] : null;
  }),
  feature('typeHierarchy/supertypes', {}, (context, { item }: ItemParams) => {
    const above = aboveOf(context, entityOf(context, item));
    return above ? [itemOf(context, above)] : [];
  }),
  feature('typeHierarchy/subtypes', {}, (context, { item }: ItemParams) => {
    const entity = entityOf(context, item);
    if (!entity) return [];
    const { namespace } = context.project;
    const below =
      entity.kind === 'kind'
        ? namespace.ofKind('part').filter(part => part.base === entity)
        : entity.kind === 'part'
          ? namespace.ofKind('article').filter(article => aboveOf(context, article) === entity)
          : [];
    return below.map(inner => itemOf(context, inner));
  }),
];

function entityOf(context: FeatureContext, item: TypeHierarchyItem): Entity | undefined {
  return context.project.namespace.entities.get((item.data as { readonly entity: string }).entity);
}

function aboveOf(context: FeatureContext, entity: Entity | undefined): Entity | null {
  if (!entity || entity.kind === 'kind') return null;
  const of = saidIn(entity.declaration, 'of');
  return entity.base ?? (of && resolveReference(context.project, entity, of.path));
}

function itemOf(context: FeatureContext, entity: Entity): TypeHierarchyItem {
  const { declaration } = entity;
  const { file } = declaration.placement;
  const lines = context.linesOf(file);
  const [whole, name] = [spanOf(declaration, 0), spanOf(declaration, 2)];
  return {
    name: entity.name,
    kind: BLOCK_KINDS.get(entity.kind)?.symbol ?? SymbolKind.Class,
    detail: [entity.kind, titleOf(entity)].filter(Boolean).join(' · '),
    uri: context.uri(file),
    range: rangeOf(lines, whole.start, whole.end),
    selectionRange: rangeOf(lines, name.start, Math.min(name.end, whole.end)),
    data: { entity: entity.key },
  };
}
