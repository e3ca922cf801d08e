import { feature, locationOf, type PositionParams } from '../feature.js';
import { declarationSpan, spotAt } from '../resolve.js';
import { knowing, targetsOf, usesByFile, type Use } from '../uses.js';

/** Files looked at between two chances for others to come in between. */
const FILES_AT_ONCE = 10;

export default feature(
  'textDocument/references',
  { referencesProvider: true },
  async (context, params: PositionParams & { readonly context?: { readonly includeDeclaration: boolean } }) => {
    const targets = targetsOf(
      context.project,
      spotAt(context.project, context.file, context.lines.offset(params.position)),
    );
    const uses: Use[] = [];
    let count = 0;
    for (const [project, theirs] of knowing(context.projects, context.project, targets))
      for (const found of usesByFile(project, theirs)) {
        uses.push(...found);
        if (++count % FILES_AT_ONCE === 0) await context.pause();
      }
    const all = params.context?.includeDeclaration ? [...targets.map(declarationSpan), ...uses] : uses;
    const places = new Map(all.map(({ file, start, end }) => [`${file} ${start} ${end}`, { file, start, end }]));
    return [...places.values()].map(({ file, start, end }) => locationOf(context, file, start, end));
  },
);
