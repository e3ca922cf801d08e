/** What stands before the caret, read from tokens alone: text that is being typed is broken most of the time. */
import { tokenize } from '../syntax/parser.js';
import { split } from '../syntax/splitter.js';
import { BLOCK_WORDS, ENDS_OPERAND, LABEL_WORDS, STATEMENT_WORDS, SUFFIX_WORDS } from '../language/index.js';

export type Token = ReturnType<typeof tokenize>['tokens'][number];

/** An open block or bracket. */
export interface Frame {
  readonly kind: 'block' | 'record' | 'rows' | 'call' | 'group' | 'index' | 'list';
  /** For a block: its keyword and name. */
  readonly keyword: string;
  readonly name: string;
  /** Index of the token that opens it; -1 for the file, and for what is open round the text that the caret is in. */
  readonly opener: number;
  /** Index of the first token of the statement, argument or entry that the caret is in. */
  statement: number;
}

export interface Caret {
  readonly offset: number;
  /** The word before the caret, and where it begins. */
  readonly word: string;
  readonly wordStart: number;
  /** Tokens before the word, with offsets in `source`. */
  readonly tokens: readonly Token[];
  readonly source: string;
  /** Where `source` stands in the file. */
  readonly base: number;
  /** From the outermost block in; the first stands for the file. */
  readonly frames: readonly Frame[];
  /** Whether only space stands before the word on its line. */
  readonly atLineStart: boolean;
  /** Whether the last token ends on the line of the caret. */
  readonly onLine: boolean;
  /** Inside the braces of a text. */
  readonly inText: boolean;
}

const WORD = /[\p{L}_][\p{L}\p{M}\p{N}_]*(?:-[\p{L}\p{N}_]*)*$/u;
const PLAIN_WORD = /[\p{L}_][\p{L}\p{M}\p{N}_]*$/u;
const STARTERS = new Set([...STATEMENT_WORDS].filter(word => !SUFFIX_WORDS.has(word)));

export const typeOf = (token: Token | undefined): string => token?.tokenType.name ?? '';
export const endOf = (token: Token): number => token.endOffset! + 1;
export function endsOperand(token: Token | undefined): boolean {
  const type = typeOf(token);
  // Behind `step` of a range stands another operand; behind that of a table nothing need be completed.
  return (ENDS_OPERAND.has(type) && type !== 'step') || type === 'KEYWORD';
}

/** Null inside a comment, or inside a text but outside its braces. `labels`: a hyphen belongs to the word. */
export function caretAt(text: string, offset: number): Caret | null {
  const piece = pieceAround(text, offset);
  const before = text.slice(piece, offset);
  const { tokens, comments } = tokenize(before);
  const comment = comments.at(-1);
  if (comment && comment.end === before.length && (comment.text.startsWith('//') || !comment.text.endsWith('*/')))
    return null;
  const last = tokens.findLast(token => token.image !== '');
  if (typeOf(last) === 'STRING' && endOf(last!) >= before.trimEnd().length && !closed(last!.image)) {
    const open = openBrace(before, last!.startOffset);
    if (open < 0) return null;
    const outer = framesOf(tokens.slice(0, tokens.indexOf(last!)));
    return build(
      before.slice(open + 1),
      piece + open + 1,
      offset,
      outer.filter(frame => frame.kind === 'block').map(frame => ({ ...frame, opener: -1, statement: 0 })),
    );
  }
  return build(before, piece, offset, null);
}

function build(source: string, base: number, offset: number, outer: readonly Frame[] | null): Caret {
  const lineStart = source.lastIndexOf('\n') + 1;
  const line = source.slice(lineStart);
  const wide = WORD.exec(line)?.[0] ?? '';
  const narrow = PLAIN_WORD.exec(line)?.[0] ?? '';
  const read = (word: string): Token[] => {
    const { tokens } = tokenize(source.slice(0, source.length - word.length));
    while (tokens.length > 0 && tokens.at(-1)!.image === '') tokens.pop();
    return nameNext(tokens);
  };
  // A hyphen is part of a word only where a label may stand.
  let word = wide;
  let tokens = read(wide);
  if (wide !== narrow && !takesLabel(tokens)) {
    word = narrow;
    tokens = read(narrow);
  }
  const last = tokens.at(-1);
  return {
    offset,
    word,
    wordStart: offset - word.length,
    tokens,
    source,
    base,
    frames: outer ? [...outer, ...framesOf(tokens).slice(1)] : framesOf(tokens),
    inText: outer !== null,
    atLineStart: line.slice(0, line.length - word.length).trim() === '',
    onLine: last !== undefined && endOf(last) > lineStart,
  };
}

/** A block's word whose name is still to come is read as a name by the lexer. */
function nameNext(tokens: Token[]): Token[] {
  const last = tokens.at(-1);
  if (typeOf(last) !== 'NAME' || !BLOCK_WORDS.has(last!.image)) return tokens;
  const previous = tokens.at(-2);
  const begins =
    previous === undefined ||
    typeOf(previous) === '{' ||
    (endsOperand(previous) && last!.startLine! > previous.endLine!);
  return begins ? [...tokens.slice(0, -1), { ...last!, tokenType: { ...last!.tokenType, name: 'KEYWORD' } }] : tokens;
}

/** What a label that is being typed may stand behind. */
const LABEL_OPENERS: ReadonlySet<string> = new Set([...LABEL_WORDS, 'in', 'exempt', 'KEYWORD', ',', '.']);

function takesLabel(tokens: readonly Token[]): boolean {
  return LABEL_OPENERS.has(typeOf(tokens.at(-1)));
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

function closed(image: string): boolean {
  return image.length > 1 && image.endsWith('"') && !/(?<!\\)(?:\\\\)*\\"$/.test(image);
}

/** The brace of a text that is open at its end, or -1. */
function openBrace(text: string, from: number): number {
  let open = -1;
  for (let i = from + 1; i < text.length; i++) {
    if (text[i] === '\\') i++;
    else if (text[i] === '{') open = i;
    else if (text[i] === '}') open = -1;
  }
  return open;
}

/** The blocks and brackets that are open behind the last token. */
function framesOf(tokens: readonly Token[]): Frame[] {
  const frames = outermost();
  tokens.forEach((_, i) => step(tokens, i, frames));
  return frames;
}

/** Calls `visit` for each token with what is open round it; an opening bracket stands outside of what it opens. */
export function walkFrames(
  tokens: readonly Token[],
  visit: (token: Token, i: number, frames: readonly Frame[]) => void,
): void {
  const frames = outermost();
  tokens.forEach((token, i) => {
    const top = frames.at(-1)!;
    if (top.kind === 'block' && startsStatement(tokens, i, top)) top.statement = i;
    visit(token, i, frames);
    step(tokens, i, frames);
  });
}

function outermost(): Frame[] {
  return [{ kind: 'block', keyword: 'file', name: '', opener: -1, statement: 0 }];
}

function step(tokens: readonly Token[], i: number, frames: Frame[]): void {
  const top = frames.at(-1)!;
  const type = typeOf(tokens[i]);
  if (top.kind === 'block' && startsStatement(tokens, i, top)) top.statement = i;
  if (type === '{' || type === '(' || type === '[')
    frames.push({ ...opened(tokens, i, top), opener: i, statement: i + 1 });
  else if (type === '}') {
    while (frames.length > 1 && !isBraced(frames.at(-1)!)) frames.pop();
    if (frames.length > 1) frames.pop();
    const outer = frames.at(-1)!;
    if (outer.kind === 'block' && typeOf(tokens[outer.statement]) === 'KEYWORD') outer.statement = i + 1;
  } else if (type === ')' || type === ']') {
    if (frames.length > 1 && !isBraced(frames.at(-1)!)) frames.pop();
  } else if (type === ',' && top.kind !== 'block') top.statement = i + 1;
}

const isBraced = (frame: Frame): boolean => frame.kind === 'block' || frame.kind === 'record' || frame.kind === 'rows';

function opened(tokens: readonly Token[], i: number, top: Frame): Pick<Frame, 'kind' | 'keyword' | 'name'> {
  const previous = tokens[i - 1];
  const operand = endsOperand(previous) || typeOf(previous) === 'KEYWORD';
  const none = { keyword: '', name: '' };
  switch (typeOf(tokens[i])) {
    case '(':
      return { kind: operand ? 'call' : 'group', ...none };
    case '[':
      return { kind: operand ? 'index' : 'list', ...none };
    default: {
      const statement = tokens.slice(top.statement, i);
      if (statement.some(token => typeOf(token) === 'by') && typeOf(statement[0]) !== 'verify')
        return { kind: 'rows', ...none };
      const head = statement[0];
      if (top.kind !== 'block' || !operand || typeOf(head) !== 'KEYWORD') return { kind: 'record', ...none };
      const name = statement[1];
      return {
        kind: 'block',
        keyword: head!.image,
        name: typeOf(name) === 'NAME' || typeOf(name) === 'LABEL' ? name!.image : '',
      };
    }
  }
}

/** Whether a token in a block begins a statement. */
function startsStatement(tokens: readonly Token[], i: number, frame: Frame): boolean {
  const type = typeOf(tokens[i]);
  if (i === frame.opener + 1 || i === frame.statement) return true;
  if (type === 'KEYWORD' || STARTERS.has(type)) return true;
  const previous = tokens[i - 1];
  if (['KEYWORD', 'let', 'formula', 'unit', '.'].includes(typeOf(previous))) return false;
  const firstOnLine = tokens[i]!.startLine! > previous!.endLine!;
  if (type === 'source' || type === 'from' || type === 'use')
    return (
      firstOnLine &&
      frame.keyword !== 'file' &&
      typeOf(tokens[frame.statement]) !== 'NAME' &&
      typeOf(tokens[frame.statement]) !== 'let'
    );
  if ((type !== 'NAME' && type !== 'LABEL') || (!endsOperand(previous) && typeOf(previous) !== '{')) return false;
  let next = i + 1;
  while (typeOf(tokens[next]) === '.' && tokens[next + 1]) next += 2;
  return typeOf(tokens[next]) === '=' || (firstOnLine && (frame.keyword === 'table' || frame.keyword === 'results'));
}

/** Text of tokens `from` up to (not with) `to`, as it is written. */
export function textOf(caret: Caret, from: number, to: number): string {
  if (to <= from) return '';
  return caret.source.slice(caret.tokens[from]!.startOffset, endOf(caret.tokens[to - 1]!));
}

/** The innermost block, and the bracket the caret is in below it (the block itself where there is none). */
export function blockOf(caret: Caret): Frame {
  return caret.frames.findLast(frame => frame.kind === 'block')!;
}
