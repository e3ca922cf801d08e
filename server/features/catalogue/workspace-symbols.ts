import { spanOf } from '../../model/declaration.js';
import { feature, locationOf } from '../feature.js';
import { SYMBOL_KINDS } from './document-symbols.js';

const MOST = 500;

/** Every named block; requirements with their status. */
export default feature('workspace/symbol', { workspaceSymbolProvider: true }, (context, params: { readonly query: string }) => {
  const query = params.query.toLowerCase();
  const { index } = context.project.view.verification;
  const requirements = new Set(index.requirements);
  const found = [...context.project.namespace.entities.values()].filter(entity => entity.name !== '' && !entity.template && entity.path.toLowerCase().includes(query)).slice(0, MOST);
  return found.map(entity => {
    const { declaration } = entity;
    const span = spanOf(declaration, 2);
    const status = requirements.has(entity) ? context.project.view.verification.result(entity).status : null;
    return { name: entity.label, kind: SYMBOL_KINDS[entity.kind] ?? 19, containerName: [status, entity.parent?.path].filter(Boolean).join(' · '), location: locationOf(context, declaration.placement.file, span.start, span.end) };
  });
});
