import { feature, rangeOf, type PositionParams } from '../feature.js';
import { hoverText } from '../hover-text.js';

/** The worked calculation of what stands under the cursor. */
export default feature('textDocument/hover', { hoverProvider: true }, (context, params: PositionParams) => {
  const found = hoverText(context, context.lines.offset(params.position));
  return found && { contents: { kind: 'markdown', value: found.markdown }, range: rangeOf(context.lines, found.start, found.end) };
});
