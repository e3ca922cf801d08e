import { feature, rangeOf, type PositionParams } from '../feature.js';
import { declarationSpan, spotAt } from '../resolve.js';
import { targetsOf, usesOf } from '../uses.js';

const READ = 2;
const WRITE = 3;

/** The places of this file that name what the caret is on; where it gets its value is written. */
export default feature(
  'textDocument/documentHighlight',
  { documentHighlightProvider: true },
  (context, params: PositionParams) => {
    const targets = targetsOf(
      context.project,
      spotAt(context.project, context.file, context.lines.offset(params.position)),
    );
    const written = targets
      .map(declarationSpan)
      .filter(({ file }) => file === context.file)
      .map(({ start, end }) => ({ range: rangeOf(context.lines, start, end), kind: WRITE }));
    const reads = usesOf(context.project, targets, [context.file])
      .filter(use => use.file === context.file)
      .map(use => ({
        range: rangeOf(context.lines, use.start, use.end),
        kind: use.item?.kind === 'override' ? WRITE : READ,
      }));
    return [...written, ...reads];
  },
);
