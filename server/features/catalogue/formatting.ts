import { formatEdits } from '../../syntax/formatter.js';
import { feature, rangeOf } from '../feature.js';

export default feature('textDocument/formatting', { documentFormattingProvider: true }, context => formatEdits(context.text).map(({ start, end, text }) => ({ range: rangeOf(context.lines, start, end), newText: text })));
