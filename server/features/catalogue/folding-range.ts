import type { FoldingRange } from 'vscode-languageserver-types';
import { tokenize } from '../../syntax/parser.js';
import { textFeature } from '../feature.js';

/** Blocks, tables and lists over several lines, and comments. The line of a closing bracket stays in sight. */
export default textFeature('textDocument/foldingRange', { foldingRangeProvider: true }, context => {
  const { tokens, comments } = tokenize(context.text);
  const lineOf = (offset: number): number => context.lines.position(offset).line;
  const ranges: FoldingRange[] = [];
  const fold = (startLine: number, endLine: number, kind?: FoldingRange['kind']): void => {
    if (endLine > startLine && ranges.at(-1)?.startLine !== startLine)
      ranges.push({ startLine, endLine, ...(kind ? { kind } : {}) });
  };
  const open: number[] = [];
  for (const { image, startOffset } of tokens) {
    if (image === '{' || image === '[' || image === '(') open.push(lineOf(startOffset));
    else if (image === '}' || image === ']' || image === ')') {
      const start = open.pop();
      if (start !== undefined) fold(start, lineOf(startOffset) - 1);
    }
  }
  let first = -1;
  let last = 0;
  for (const comment of comments) {
    const [start, end] = [lineOf(comment.start), lineOf(comment.end)];
    const alone =
      context.text.slice(context.text.lastIndexOf('\n', comment.start - 1) + 1, comment.start).trim() === '';
    if (!comment.text.startsWith('//')) fold(start, end, 'comment');
    else if (alone && first >= 0 && start === last + 1) last = start;
    else {
      if (first >= 0) fold(first, last, 'comment');
      [first, last] = alone ? [start, start] : [-1, -1];
    }
  }
  if (first >= 0) fold(first, last, 'comment');
  return ranges.sort((x, y) => x.startLine - y.startLine);
});
