/** What refactorings share: the selected expression, statements as text, new names. */
import type { CodeAction } from 'vscode-languageserver-types';
import { BUILTINS, CONSTANTS } from '../engine/elaboration/builtins.js';
import { expressionsOf, itemsOf } from '../findings/text-search.js';
import { spanOf, type Declaration, type Item } from '../model/declaration.js';
import { children, NO_ANNOTATIONS, walk, type Expression } from '../model/expression.js';
import { keyOf, type Entity } from '../model/namespace.js';
import { tokenize } from '../syntax/parser.js';
import { Reader } from '../syntax/tolerant/reader.js';
import { RESERVED } from '../language/index.js';
import { workspaceEdit, type FeatureContext, type TextEditAt } from './feature.js';
import { boundNames } from './resolve.js';

/** Offers for a selection (a caret is an empty one). Margins are the same after any of them. */
export type Refactoring = (context: FeatureContext, start: number, end: number) => readonly CodeAction[];

export interface Span {
  readonly start: number;
  readonly end: number;
}

export interface Selected extends Span {
  readonly entity: Entity;
  readonly item: Item;
  readonly node: Expression;
}

export function action(context: FeatureContext, title: string, kind: string, edits: readonly TextEditAt[]): CodeAction {
  return { title, kind, edit: workspaceEdit(context, edits) };
}

/** Every item of a file that holds an offset, with its entity. */
export function* itemsAround(
  context: FeatureContext,
  offset: number,
): Iterable<{ readonly entity: Entity; readonly item: Item }> {
  const { namespace } = context.project;
  const found: { entity: Entity; item: Item }[] = [];
  const visit = (declaration: Declaration, entity: Entity, prefix: string): void => {
    for (const item of itemsOf(declaration)) found.push({ entity, item });
    for (const child of declaration.children) {
      const span = spanOf(child, 0);
      const inner =
        offset < span.start || offset > span.end ? undefined : namespace.entities.get(prefix + keyOf(child));
      if (inner) visit(child, inner, `${prefix}${keyOf(child)}.`);
    }
  };
  for (const piece of namespace.piecesOf(context.file))
    visit(piece.root, namespace.topOf(context.file), namespace.prefixOf(context.file));
  yield* found;
}

/** The expression that was selected exactly, with or without the brackets round it. */
export function selectedExpression(context: FeatureContext, from: number, to: number): Selected | null {
  const { text } = context;
  const trimmed = trim(text, { start: from, end: to });
  if (trimmed.end <= trimmed.start) return null;
  let found: Selected | null = null;
  for (const { entity, item } of itemsAround(context, trimmed.start)) {
    for (const root of expressionsOf(item)) {
      walk(root, node => {
        const span = spanOf(item, node.id);
        if (!found && isWhole(text, item, node) && (same(span, trimmed) || same(unbracketed(text, span), trimmed)))
          found = { entity, item, node, ...trimmed };
      });
    }
  }
  return found;
}

const same = (x: Span, y: Span): boolean => x.start === y.start && x.end === y.end;

function trim(text: string, { start, end }: Span): Span {
  const inside = text.slice(start, end);
  return {
    start: start + inside.length - inside.trimStart().length,
    end: end - (inside.length - inside.trimEnd().length),
  };
}

/** Whether an expression says all of itself: in `(1, 2, 3) mm` the unit of a number stands elsewhere. */
export function isWhole(text: string, item: Item, node: Expression): boolean {
  if (node.kind === 'group' || node.kind === 'list') return true;
  if (node.kind === 'number' && node.unitText !== null) {
    const { start, end } = spanOf(item, node.id);
    return text.slice(start, end).endsWith(node.unitText);
  }
  return children(node).every(child => isWhole(text, item, child));
}

/** What stands between the brackets that enclose the whole of a span. */
export function unbracketed(text: string, span: Span): Span {
  return isBracketed(text.slice(span.start, span.end))
    ? trim(text, { start: span.start + 1, end: span.end - 1 })
    : span;
}

export function isBracketed(text: string): boolean {
  if (!text.startsWith('(') || !text.endsWith(')')) return false;
  let depth = 0;
  for (let i = 0; i < text.length - 1; i++) {
    if (text[i] === '(') depth++;
    else if (text[i] === ')' && --depth === 0) return false;
  }
  return true;
}

/** The statement of an item: with the word before its name, and what is said of its value. */
export function statementOf(text: string, item: Item): Span {
  const ends = item.spans.filter((_, i) => i % 2 === 1);
  const name = spanOf(item, 'id' in item ? item.id : 0);
  const word =
    /(?:let|formula|unit|slot|measured)[ \t]+$/.exec(text.slice(Math.max(0, name.start - 20), name.start))?.[0]
      .length ?? 0;
  const start = name.start - word;
  let end = Math.max(...ends) + item.placement.start;
  // A bracket round a single name leaves no node.
  for (let open = unclosed(text.slice(start, end)); open > 0; open--) end = Math.max(end, text.indexOf(')', end) + 1);
  return { start, end: 'annotations' in item && item.annotations !== NO_ANNOTATIONS ? behindSuffixes(text, end) : end };
}

/** Words such as `basis A source "…"` bind to the value before them and leave no place of their own. */
function behindSuffixes(text: string, from: number): number {
  const value = 'let x = 0';
  const { tokens } = tokenize(`${value} ${text.slice(from, from + LONGEST_SUFFIXES)}`);
  const end = new Reader(tokens).tree().node('statements')?.end ?? 0;
  return Math.max(from, from + end - value.length - 1);
}

const LONGEST_SUFFIXES = 2_000;

function unclosed(text: string): number {
  return [...text].reduce((depth, c) => (c === '(' ? depth + 1 : c === ')' ? depth - 1 : depth), 0);
}

/** Names in an expression that it does not bind itself. */
export function freeNames(node: Expression): Set<string> {
  const names = new Set<string>();
  const within = new Set<string>();
  walk(node, inner => {
    if (inner.kind === 'name') names.add(inner.name);
    if (inner.kind === 'call')
      for (const argument of inner.arguments) {
        for (const binder of argument.binders) within.add(binder.name);
        if (argument.form === 'unknown' && argument.name) within.add(argument.name);
      }
  });
  return new Set([...names].filter(name => !within.has(name)));
}

/** A name that nothing in sight of a block, in it or below it has. */
export function freshName(context: FeatureContext, entity: Entity, stem: string, more: Iterable<string> = []): string {
  const taken = new Set<string>([...BUILTINS.keys(), ...CONSTANTS.keys(), ...RESERVED, ...more]);
  const below = (at: Entity): void => {
    for (const name of at.values.keys()) taken.add(name);
    for (const item of itemsOf(at.declaration)) {
      for (const { name } of boundNames(item)) taken.add(name);
      for (const root of expressionsOf(item)) for (const name of freeNames(root)) taken.add(name);
    }
    for (const [name, member] of at.members) {
      taken.add(name);
      below(member);
    }
  };
  below(entity);
  const { namespace, library } = context.project;
  for (let at = entity.parent; at; at = at.parent)
    for (const name of [...at.values.keys(), ...at.members.keys()]) taken.add(name);
  const isTaken = (name: string): boolean =>
    taken.has(name) ||
    namespace.root.values.has(name) ||
    library.root.values.has(name) ||
    namespace.named(name).size > 0;
  if (!isTaken(stem)) return stem;
  for (let i = 2; ; i++) if (!isTaken(`${stem}_${i}`)) return `${stem}_${i}`;
}

/** Puts a statement in front of another, laid out as that one is. */
export function before(context: FeatureContext, start: number, statement: string): TextEditAt {
  const lineStart = context.text.lastIndexOf('\n', start - 1) + 1;
  const indent = context.text.slice(lineStart, start);
  return {
    file: context.file,
    start,
    end: start,
    text: indent.trim() === '' ? `${statement}\n${indent}` : `${statement}   `,
  };
}

/** Takes a statement out, with the lines of comments that document it, and its line where nothing else stands there. */
export function removal(file: string, text: string, { start, end }: Span): TextEditAt {
  let from = text.lastIndexOf('\n', start - 1) + 1;
  const lineEnd = text.indexOf('\n', end);
  const to = lineEnd < 0 ? text.length : lineEnd + 1;
  const behind = text.slice(end, to).trim();
  if (text.slice(from, start).trim() !== '' || (behind !== '' && !behind.startsWith('//')))
    return { file, start, end: end + /^[ \t]*/.exec(text.slice(end))![0].length, text: '' };
  for (;;) {
    const previous = text.lastIndexOf('\n', from - 2) + 1;
    if (from === 0 || !text.slice(previous, from).trim().startsWith('///')) break;
    from = previous;
  }
  return { file, start: from, end: to, text: '' };
}

/** A statement as the last one of a block, laid out as the block is. A block that has no braces yet gets them. */
export function inBlock(file: string, source: string, start: number, end: number, text: string): TextEditAt {
  const block = source.slice(start, end);
  if (!block.endsWith('}')) return { file, start: end, end, text: ` { ${text} }` };
  const close = end - 1;
  const last = start + block.slice(0, -1).trimEnd().length;
  const lineStart = source.lastIndexOf('\n', close) + 1;
  const indent = source.slice(lineStart, close);
  if (indent.trim() === '') return { file, start: last, end: last, text: `\n${indent}  ${text}` };
  return { file, start: last, end: close, text: `${source[last - 1] === '{' ? ' ' : '   '}${text} ` };
}
