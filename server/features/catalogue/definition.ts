import { feature, locationOf, type PositionParams } from '../feature.js';
import { declarationSpan, spotAt } from '../resolve.js';

/** Go to definition, into the library's own source as well. */
export default feature('textDocument/definition', { definitionProvider: true }, (context, params: PositionParams) => {
  const spot = spotAt(context.project, context.file, context.lines.offset(params.position));
  if (!spot?.target) return null;
  const { file, start, end } = declarationSpan(spot.target);
  return locationOf(context, file, start, end);
});
