import { SymbolKind } from 'vscode-languageserver-types';
import { titleOf } from '../../engine/values/describe.js';
import { spanOf } from '../../model/declaration.js';
import type { Project } from '../../project/project.js';
import { feature, locationOf } from '../feature.js';
import { statusText } from '../status.js';
import { BLOCK_KINDS } from '../block-kinds.js';

const MOST = 500;
/** Blocks looked at between two chances for others to come in between. */
const BLOCKS_AT_ONCE = 5_000;

/** Every named block of every project, by path or title; requirements with their status and margin. */
export default feature(
  'workspace/symbol',
  { workspaceSymbolProvider: true },
  async (context, params: { readonly query: string }) => {
    const query = params.query.toLowerCase();
    const symbols: unknown[] = [];
    const seen = new Map<string, Project>();
    let count = 0;
    for (const project of context.projects) {
      for (const entity of project.namespace.entities.values()) {
        if (symbols.length === MOST) return symbols;
        if (++count % BLOCKS_AT_ONCE === 0) await context.pause();
        if (entity.name === '' || entity.template || entity.contenders.length === 0) continue;
        // A library that is no project by itself has its symbols from the first that uses it.
        if (seen.has(entity.declaration.placement.file) && seen.get(entity.declaration.placement.file) !== project)
          continue;
        seen.set(entity.declaration.placement.file, project);
        if (!entity.path.toLowerCase().includes(query) && !titleOf(entity).toLowerCase().includes(query)) continue;
        const { declaration } = entity;
        const span = spanOf(declaration, 2);
        symbols.push({
          name: entity.label,
          kind: BLOCK_KINDS.get(entity.kind)?.symbol ?? SymbolKind.Object,
          containerName: [statusText(project, entity), entity.parent?.path].filter(Boolean).join(' · '),
          location: locationOf(context, declaration.placement.file, span.start, span.end),
        });
      }
    }
    return symbols;
  },
);
