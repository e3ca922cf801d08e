import { feature, locationOf, type FeatureContext, type PositionParams } from '../feature.js';
import { declarationSpan, spotAt } from '../resolve.js';

/** Go to definition, into the library's own source as well. What is defined here is declared there too, so that both commands work. */
export default [
  feature('textDocument/definition', { definitionProvider: true }, definitionOf),
  feature('textDocument/declaration', { declarationProvider: true }, definitionOf),
];

function definitionOf(context: FeatureContext, params: PositionParams): unknown {
  const spot = spotAt(context.project, context.file, context.lines.offset(params.position));
  if (!spot?.target) return null;
  const { file, start, end } = declarationSpan(spot.target);
  return locationOf(context, file, start, end);
}
