import { feature, rangeOf, type PositionParams } from '../feature.js';
import { declarationSpan, spotAt, usesOf } from '../resolve.js';

const READ = 2;
const WRITE = 3;

/** The places of this file that name what the caret is on; where it gets its value is written. */
export default feature('textDocument/documentHighlight', { documentHighlightProvider: true }, (context, params: PositionParams) => {
  const target = spotAt(context.project, context.file, context.lines.offset(params.position))?.target;
  if (!target) return [];
  const declared = declarationSpan(target);
  const reads = usesOf(context.project, target, [context.file]).filter(use => use.file === context.file).map(use => ({ range: rangeOf(context.lines, use.start, use.end), kind: use.item?.kind === 'override' ? WRITE : READ }));
  return declared.file === context.file ? [{ range: rangeOf(context.lines, declared.start, declared.end), kind: WRITE }, ...reads] : reads;
});
