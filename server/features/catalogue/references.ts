import { feature, locationOf, type PositionParams } from '../feature.js';
import { declarationSpan, spotAt, usesByFile, type Use } from '../resolve.js';

/** Files looked at between two chances for others to come in between. */
const FILES_AT_ONCE = 10;

export default feature('textDocument/references', { referencesProvider: true }, async (context, params: PositionParams & { readonly context?: { readonly includeDeclaration: boolean } }) => {
  const target = spotAt(context.project, context.file, context.lines.offset(params.position))?.target;
  if (!target) return [];
  const uses: Use[] = [];
  let count = 0;
  for (const found of usesByFile(context.project, target)) {
    uses.push(...found);
    if (++count % FILES_AT_ONCE === 0) await context.pause();
  }
  const all = params.context?.includeDeclaration ? [declarationSpan(target), ...uses] : uses;
  return all.map(({ file, start, end }) => locationOf(context, file, start, end));
});
