/** Where the caret is: the word that is typed, the nodes around it, and what the grammar takes there. */
import { PLACEHOLDER_MARK, tokenize } from '../syntax/parser.js';
import { split } from '../syntax/splitter.js';
import { Reader, type Expectation } from '../syntax/tolerant/reader.js';
import { endOf, isTree, kindOf, type Open, type Token, type Tree } from '../syntax/tolerant/tree.js';

export interface Caret {
  readonly offset: number;
  /** The word before the caret, and where it begins. */
  readonly word: string;
  readonly wordStart: number;
  /** What is read: offsets of nodes and tokens count in it. */
  readonly source: string;
  /** Where `source` stands in the file. */
  readonly base: number;
  /** The token before the word. */
  readonly last: Token | null;
  /** What may stand here, from the inside out. */
  readonly expected: readonly Expectation[];
  /** The nodes around the caret, from the file inwards. */
  readonly path: readonly Open[];
  /** The blocks around it, from the outermost in, those around its text included. */
  readonly blocks: readonly BlockAround[];
  /** Whether what stands before the word may be all: a statement or a bracket may end here. */
  readonly mayEnd: boolean;
  /** Whether only space stands before the word on its line. */
  readonly atLineStart: boolean;
  /** Whether the last token ends on the line of the caret. */
  readonly onLine: boolean;
}

export interface BlockAround {
  readonly keyword: string;
  readonly name: string;
}

const WORD = /[\p{L}_][\p{L}\p{M}\p{N}_]*$/u;
/** Stands for the word that is typed: the lexer goes by what follows. */
const ANY_WORD = 'x';

/** Null inside a comment, or inside a text but outside its braces. */
export function caretAt(text: string, offset: number): Caret | null {
  const piece = pieceAround(text, offset);
  return read(text.slice(piece, offset), piece, offset, []);
}

function read(before: string, base: number, offset: number, around: readonly BlockAround[]): Caret | null {
  const typed = WORD.exec(before.slice(before.lastIndexOf('\n') + 1))?.[0] ?? '';
  const rest = before.slice(0, before.length - typed.length);
  const { tokens, comments } = tokenize(rest + ANY_WORD);
  const comment = comments.at(-1);
  if (comment && comment.end > rest.length) return null;
  const at = tokens.findLastIndex(token => token.image !== '');
  const word = tokens[at]!;
  const isWhole = word.startOffset >= rest.length;
  if (!isWhole && kindOf(word) === 'STRING') return inText(before, base, offset, tokens.slice(0, at), word.startOffset);
  // A hyphen belongs to a label; a sign that a unit may go on with does not belong to the word.
  const isLabel = !isWhole && kindOf(word) === 'LABEL';
  const wordStart = isLabel ? word.startOffset : rest.length;
  const standing = isWhole || isLabel ? tokens.slice(0, at) : written(tokenize(rest).tokens);
  return build(before, wordStart, standing, base, offset, around);
}

function written(tokens: readonly Token[]): readonly Token[] {
  return tokens.slice(0, tokens.findLastIndex(token => token.image !== '') + 1);
}

function inText(before: string, base: number, offset: number, outer: readonly Token[], start: number): Caret | null {
  const open = openBrace(before, start);
  if (open < 0) return null;
  const [innermost] = new Reader(outer, { outline: true }).expected();
  const inside = PLACEHOLDER_MARK + before.slice(open + 1);
  return read(inside, base + open, offset, blocksOf(innermost?.path ?? []));
}

function build(
  before: string,
  wordStart: number,
  tokens: readonly Token[],
  base: number,
  offset: number,
  around: readonly BlockAround[],
): Caret {
  const last = tokens.at(-1) ?? null;
  const lineStart = before.lastIndexOf('\n') + 1;
  const atLineStart = before.slice(lineStart, wordStart).trim() === '';
  const all = new Reader(tokens, { outline: true }).expected();
  const path = openOf(all[0]?.path ?? []);
  return {
    offset,
    word: before.slice(wordStart),
    wordStart: base + wordStart,
    source: before,
    base,
    last,
    expected: all.filter(each => atLineStart || mayStandOnLine(each)),
    path,
    blocks: [...around, ...blocksOf(path)],
    mayEnd: all.some(each => CLOSING.has(each.kind) || listBegun(each) !== null),
    atLineStart,
    onLine: last !== null && endOf(last) > lineStart,
  };
}

/** Without what is closed: a call may go on with a dot. */
function openOf(path: readonly Open[]): readonly Open[] {
  const closed = path.findIndex(({ node: { last } }) => last && !isTree(last.value) && BRACKETS.has(last.value.image));
  return closed < 0 ? path : path.slice(0, closed);
}

const BRACKETS: ReadonlySet<string> = new Set([')', ']', '}']);
const CLOSING: ReadonlySet<string> = new Set([...BRACKETS, ',']);

/** A statement begins on a line of its own, or behind a brace. */
function mayStandOnLine(expectation: Expectation): boolean {
  const list = listBegun(expectation);
  const before = list?.last?.value;
  return !list || !before || !isTree(before) || before.last?.property === 'block';
}

/** The block, or the file, in which a statement would begin; null for what goes on with one. */
export function listBegun({ path }: Expectation): Tree | null {
  const at = path.findLastIndex(
    ({ role, node }) => node.read === null && (role === 'Block.statements' || role === 'Document.statements'),
  );
  return at < 0 ? null : path[at - 1]!.node;
}

export function blocksOf(path: readonly Open[]): readonly BlockAround[] {
  return path.flatMap(({ node }) =>
    node.type === 'Declaration'
      ? [{ keyword: node.token('keyword')?.image ?? '', name: node.token('name')?.image ?? '' }]
      : [],
  );
}

/** Where the top-level statement begins that holds an offset. */
function pieceAround(text: string, offset: number): number {
  let start = 0;
  for (const piece of split(text)) {
    if (piece.start >= offset) break;
    start = piece.start;
  }
  return start;
}

/** The brace that is open at the end of the text which begins at `from`, or -1. */
function openBrace(text: string, from: number): number {
  let open = -1;
  for (let i = from + 1; i < text.length; i++) {
    if (text[i] === '\\') i++;
    else if (text[i] === '{') open = i;
    else if (text[i] === '}') open = -1;
  }
  return open;
}

/** A node as it is written. */
export function textOf(caret: Caret, node: Tree | null | undefined): string {
  return node ? caret.source.slice(node.start, node.end) : '';
}

/** The innermost node of a type around the caret. */
export function around(path: readonly Open[], type: string): Tree | null {
  return path.findLast(({ node }) => node.type === type)?.node ?? null;
}
