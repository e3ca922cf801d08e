/**
 * Cuts a file into its top-level statements, so that each is parsed alone: a keystroke costs one statement, and a
 * broken one never
 * blinds the rest. Comments belong to the statement that follows them.
 */
import { endOfComment, endOfText } from './scan.js';
import { BLOCK_WORDS, STATEMENT_WORDS, SUFFIX_WORDS } from '../language/index.js';

export interface Piece {
  readonly start: number;
  readonly text: string;
}

/**
 * A line that begins with one of these goes on with the value before it; at the top of a file no statement begins so.
 */
const CONTINUING = [...SUFFIX_WORDS].filter(word => word !== 'use');
const STARTERS = [...BLOCK_WORDS, ...STATEMENT_WORDS].filter(word => !CONTINUING.includes(word));
const STATEMENT = new RegExp(
  String.raw`(?:${STARTERS.join('|')})(?=[ \t]+["\p{L}_])|[\p{L}_][\p{L}\p{N}_]*(?:\.[\p{L}_][\p{L}\p{N}_]*)*\s*=(?!=)|(?!(?:${CONTINUING.join('|')})[ \t])[\p{L}_]+[ \t]+[\p{L}_][\p{L}\p{N}_-]*[ \t]*["{]`,
  'uy',
);
const BLOCK = new RegExp(
  String.raw`(?:${[...BLOCK_WORDS].join('|')})[ \t]+(?:[\p{L}_][\p{L}\p{N}_.-]*[ \t]*(?:["{=]|(?:of|is|for|on|from)\b|$)|["{])|(?:let|formula)[ \t]+[\p{L}_]`,
  'uym',
);

function matches(pattern: RegExp, source: string, offset: number): boolean {
  pattern.lastIndex = offset;
  return pattern.test(source);
}

/**
 * The pieces of `source` in order; they cover it without a gap. Where the braces balance, they alone decide; else the
 * columns help.
 */
export function split(source: string): Piece[] {
  return cutUp(source, false) ?? cutUp(source, true)!;
}

/**
 * The pieces, or nothing where braces don't balance and `byColumn` does not allow to close blocks by the column of what
 * follows.
 */
function cutUp(source: string, byColumn: boolean): Piece[] | undefined {
  const pieces: Piece[] = [];
  let start = 0; // of the piece being read
  let contentEnd = -1; // behind the last token of the piece, or -1 while it holds only comments
  let depth = 0;
  let openColumn = 0; // of the line that opened the outermost block
  let lineStart = 0;
  let column = 0; // of the first token on the line
  let atLineStart = true;
  let parentheses = 0;
  const cut = (): void => {
    if (contentEnd < 0) return;
    pieces.push({ start, text: source.slice(start, contentEnd) });
    start = contentEnd;
    contentEnd = -1;
    depth = 0;
    parentheses = 0;
  };
  for (let i = 0; i < source.length;) {
    const c = source.charCodeAt(i);
    if (c === 10) {
      lineStart = i + 1;
      atLineStart = true;
      i++;
      continue;
    }
    if (c <= 32 || c === 0xfeff) {
      i++;
      continue;
    }
    if (c === 47) {
      const end = endOfComment(source, i);
      if (end >= 0) {
        const newline = source.slice(i, end).lastIndexOf('\n');
        if (newline >= 0) lineStart = i + newline + 1;
        i = end;
        continue;
      }
    }
    if (atLineStart) {
      atLineStart = false;
      column = i - lineStart;
      if (
        depth === 0
          ? (parentheses <= 0 && matches(STATEMENT, source, i)) || matches(BLOCK, source, i)
          : byColumn && column <= openColumn && matches(BLOCK, source, i)
      )
        cut();
    }
    if (c === 34) {
      i = endOfText(source, i).end;
    } else {
      if (c === 123) {
        if (depth++ === 0) openColumn = column;
      } else if (c === 125) {
        if (depth > 0) depth--;
        else if (!byColumn) return undefined;
      } else if (depth === 0) {
        if (c === 40 || c === 91) parentheses++;
        else if (c === 41 || c === 93) parentheses--;
      }
      i++;
    }
    contentEnd = i;
  }
  if (depth > 0 && !byColumn) return undefined;
  if (contentEnd >= 0) cut();
  if (start < source.length && source.slice(start).trim() !== '') pieces.push({ start, text: source.slice(start) });
  return pieces;
}
