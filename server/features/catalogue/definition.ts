import { feature, locationOf, type FeatureContext, type PositionParams } from '../feature.js';
import { declarationSpan, spotAt } from '../resolve.js';
import { targetsOf } from '../uses.js';

/**
 * Go to definition (of a load's field in a sweep, to that of each load), into the library's own source as well. What is
 * defined here is declared there too, so that both commands work.
 */
export default [
  feature('textDocument/definition', { definitionProvider: true }, definitionOf),
  feature('textDocument/declaration', { declarationProvider: true }, definitionOf),
];

function definitionOf(context: FeatureContext, params: PositionParams): unknown {
  const targets = targetsOf(
    context.project,
    spotAt(context.project, context.file, context.lines.offset(params.position)),
  );
  const places = targets.map(declarationSpan).map(({ file, start, end }) => locationOf(context, file, start, end));
  return places.length > 1 ? places : (places[0] ?? null);
}
