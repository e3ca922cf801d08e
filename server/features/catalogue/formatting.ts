import type { Position, Range, TextEdit } from 'vscode-languageserver-types';
import { formatEdits } from '../../syntax/formatter.js';
import { tokenize } from '../../syntax/parser.js';
import { rangeOf, textFeature, type FeatureContext } from '../feature.js';

const INDENT = '  ';

/** One layout for every file: the whole, a part of it, or what was just finished. */
export default [
  textFeature('textDocument/formatting', { documentFormattingProvider: true }, context =>
    editsWithin(context, 0, context.text.length),
  ),
  textFeature(
    'textDocument/rangeFormatting',
    { documentRangeFormattingProvider: { rangesSupport: true } },
    (context, params: { readonly range: Range }) => editsOf(context, params.range),
  ),
  textFeature('textDocument/rangesFormatting', {}, (context, params: { readonly ranges: readonly Range[] }) => [
    ...new Map(
      params.ranges.flatMap(range => editsOf(context, range)).map(edit => [JSON.stringify(edit.range), edit]),
    ).values(),
  ]),
  textFeature(
    'textDocument/onTypeFormatting',
    { documentOnTypeFormattingProvider: { firstTriggerCharacter: '}', moreTriggerCharacter: ['\n'] } },
    (context, params: { readonly position: Position; readonly ch: string }) => {
      const offset = context.lines.offset(params.position);
      return params.ch === '}' ? finishedBlock(context, offset) : newLine(context, offset);
    },
  ),
];

function editsOf(context: FeatureContext, range: Range): TextEdit[] {
  return editsWithin(context, lineStart(context, context.lines.offset(range.start)), context.lines.offset(range.end));
}

function editsWithin(context: FeatureContext, from: number, to: number): TextEdit[] {
  return formatEdits(context.text)
    .filter(edit => edit.start >= from && edit.end <= to)
    .map(({ start, end, text }) => ({ range: rangeOf(context.lines, start, end), newText: text }));
}

function lineStart(context: FeatureContext, offset: number): number {
  return context.text.lastIndexOf('\n', offset - 1) + 1;
}

/** The block that the `}` before the caret closes. */
function finishedBlock(context: FeatureContext, offset: number): TextEdit[] {
  const open: number[] = [];
  for (const token of tokenize(context.text.slice(0, offset)).tokens) {
    if (token.image === '{') open.push(token.startOffset);
    else if (token.image === '}') {
      const start = open.pop();
      if (token.endOffset! + 1 === offset && start !== undefined)
        return editsWithin(context, lineStart(context, start), offset);
    }
  }
  return [];
}

/** The line that was left, and the indent of the one that was begun. */
function newLine(context: FeatureContext, offset: number): TextEdit[] {
  const begun = lineStart(context, offset);
  const before = begun - 1;
  const edits =
    before > 0
      ? editsWithin(context, lineStart(context, before), before).filter(
          edit => edit.range.end.line < context.lines.position(begun).line,
        )
      : [];
  const line = /^[^\n]*/.exec(context.text.slice(begun))![0];
  if (line.trim() !== '') return edits;
  const depth = tokenize(context.text.slice(0, begun)).tokens.reduce(
    (sum, { image }) =>
      image === '{' || image === '(' || image === '['
        ? sum + 1
        : image === '}' || image === ')' || image === ']'
          ? Math.max(sum - 1, 0)
          : sum,
    0,
  );
  const indent = INDENT.repeat(depth);
  return line === indent
    ? edits
    : [...edits, { range: rangeOf(context.lines, begun, begun + line.length), newText: indent }];
}
