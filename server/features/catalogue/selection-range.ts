import type { Position, SelectionRange } from 'vscode-languageserver-types';
import { expressionsOf, itemsOf } from '../../findings/text-search.js';
import { spanOf, type Declaration } from '../../model/declaration.js';
import { walk } from '../../model/expression.js';
import { tokenize } from '../../syntax/parser.js';
import { feature, rangeOf, type FeatureContext } from '../feature.js';
import { statementOf, type Span } from '../refactoring.js';

const CLOSING: Readonly<Record<string, string>> = { '}': '{', ']': '[', ')': '(' };

/** From a word outward: token, operands and operations, bracket, statement, block, file. */
export default feature(
  'textDocument/selectionRange',
  { selectionRangeProvider: true },
  (context, params: { readonly positions: readonly Position[] }) => {
    const brackets = bracketsOf(context.text);
    return params.positions.map(position => nested(context, context.lines.offset(position), brackets));
  },
);

function nested(context: FeatureContext, offset: number, brackets: readonly Span[]): SelectionRange {
  const spans = [...brackets, ...modelSpans(context, offset), { start: 0, end: context.text.length }].filter(
    ({ start, end }) => start <= offset && offset <= end && end > start,
  );
  spans.sort((x, y) => y.end - y.start - (x.end - x.start) || x.start - y.start);
  let range: SelectionRange = { range: rangeOf(context.lines, 0, context.text.length) };
  let outer: Span = { start: 0, end: context.text.length };
  for (const span of spans) {
    if (span.start < outer.start || span.end > outer.end || (span.start === outer.start && span.end === outer.end))
      continue;
    range = { range: rangeOf(context.lines, span.start, span.end), parent: range };
    outer = span;
  }
  return range;
}

/** Tokens, and brackets with and without their inside. */
function bracketsOf(text: string): Span[] {
  const spans: Span[] = [];
  const open: { image: string; start: number }[] = [];
  for (const { image, startOffset, endOffset } of tokenize(text).tokens) {
    if (image === '') continue;
    spans.push({ start: startOffset, end: endOffset! + 1 });
    if (image === '{' || image === '[' || image === '(') open.push({ image, start: startOffset });
    else if (CLOSING[image] && open.at(-1)?.image === CLOSING[image]) {
      const { start } = open.pop()!;
      const inside = text.slice(start + 1, startOffset);
      spans.push(
        { start, end: startOffset + 1 },
        {
          start: start + 1 + inside.length - inside.trimStart().length,
          end: startOffset - (inside.length - inside.trimEnd().length),
        },
      );
    }
  }
  return spans;
}

function modelSpans(context: FeatureContext, offset: number): Span[] {
  const spans: Span[] = [];
  const visit = (declaration: Declaration): void => {
    if (declaration.kind !== 'file') {
      const whole = spanOf(declaration, 0);
      if (offset < whole.start || offset > whole.end) return;
      spans.push(whole);
    }
    for (const item of itemsOf(declaration)) {
      for (const root of expressionsOf(item)) walk(root, node => void spans.push(spanOf(item, node.id)));
      if ('id' in item) spans.push(statementOf(context.text, item));
    }
    declaration.children.forEach(visit);
  };
  for (const piece of context.project.namespaceOf(context.file).piecesOf(context.file)) visit(piece.root);
  return spans;
}
