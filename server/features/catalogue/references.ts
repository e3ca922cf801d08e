import { feature, locationOf, type PositionParams } from '../feature.js';
import { declarationSpan, spotAt, usesOf } from '../resolve.js';

export default feature('textDocument/references', { referencesProvider: true }, (context, params: PositionParams & { readonly context?: { readonly includeDeclaration: boolean } }) => {
  const target = spotAt(context.project, context.file, context.lines.offset(params.position))?.target;
  if (!target) return [];
  const uses = usesOf(context.project, target);
  const all = params.context?.includeDeclaration ? [declarationSpan(target), ...uses] : uses;
  return all.map(({ file, start, end }) => locationOf(context, file, start, end));
});
