/**
 * Slips that leave a whole block unread: quotes that are forgotten, or of another kind. Each is told once, where it is,
 * and what else is told of the block follows from it.
 */
import { BLOCK_WORDS } from '../language/index.js';
import { endOfComment, endOfText } from '../syntax/scan.js';

export interface Slip {
  /** What is to be written otherwise. */
  readonly start: number;
  readonly end: number;
  readonly message: string;
  readonly replacement: string;
  /** What is told from its head to the end of its block follows from it. */
  readonly headStart: number;
  readonly blockEnd: number;
  /** Up to here the reading of blocks may be out of step. */
  readonly outerEnd: number;
}

const WORDS = [...BLOCK_WORDS].join('|');
const PLACEHOLDER = String.raw`\{[^{}"'\n<>=]{1,60}\}`;
const HEAD = String.raw`(?<![\p{L}\p{N}_.])(?:${WORDS})[ \t]+(?<label>[\p{L}_][\p{L}\p{N}_.-]*)[ \t]+`;
/** `requirement R-9 The bolt shall hold. {` */
const UNQUOTED = new RegExp(
  String.raw`${HEAD}(?!(?:of|is|for|on|from|in)\b)(?<title>\p{L}(?:[^"'{}\n=]|${PLACEHOLDER}){0,300})[ \t]*\{[ \t]*(?:$|//|[\p{L}}])`,
  'gmu',
);
/** `part Q 'Q' {` */
const SINGLE = new RegExp(String.raw`${HEAD}(?<title>'[^'"\n]*')[ \t]*\{`, 'gmu');

/** The slips of a text in whose lines something could not be read. */
export function slipsIn(text: string, unreadAt: readonly number[]): Slip[] {
  if (unreadAt.length === 0) return [];
  const unread = new Set(unreadAt.map(offset => lineOf(text, offset)));
  return [
    ...slips(text, unread, UNQUOTED, (label, title) => ({
      message: `The text behind ${label} stands in double quotes: write "${title}".`,
      replacement: `"${title}"`,
    })),
    ...slips(text, unread, SINGLE, (_, title) => ({
      message: `A text stands in double quotes: write "${title.slice(1, -1)}" instead of ${title}.`,
      replacement: `"${title.slice(1, -1)}"`,
    })),
  ];
}

function slips(
  text: string,
  unread: ReadonlySet<number>,
  pattern: RegExp,
  told: (label: string, title: string) => Pick<Slip, 'message' | 'replacement'>,
): Slip[] {
  return [...text.matchAll(pattern)].flatMap(match => {
    const { label, title } = match.groups!;
    if (!unread.has(lineOf(text, match.index))) return [];
    const written = title!.trimEnd();
    const start = match.index + match[0].indexOf(title!, match[0].indexOf(label!) + label!.length);
    const end = start + written.length;
    const blockEnd = closeOf(text, text.indexOf('{', end));
    const outerEnd = Math.max(blockEnd, outerEndOf(text, start));
    return [{ start, end, ...told(label!, written), headStart: match.index, blockEnd, outerEnd }];
  });
}

const lineOf = (text: string, offset: number): number => text.lastIndexOf('\n', offset - 1) + 1;

/** Calls `visit` at each brace outside of texts and comments, until it gives something back. */
function atBraces<T>(
  text: string,
  from: number,
  visit: (offset: number, depth: number) => T | undefined,
): T | undefined {
  let depth = 0;
  for (let i = from; i < text.length; i++) {
    const c = text[i];
    const comment = endOfComment(text, i);
    if (comment > 0) i = comment - 1;
    else if (c === '"') i = endOfText(text, i).end - 1;
    else if (c === '{' || c === '}') {
      depth += c === '{' ? 1 : -1;
      const found = visit(i, depth);
      if (found !== undefined) return found;
    }
  }
  return undefined;
}

/** Behind the brace that closes the one at `open`. */
function closeOf(text: string, open: number): number {
  return atBraces(text, open, (offset, depth) => (depth <= 0 ? offset + 1 : undefined)) ?? text.length;
}

/** Behind the brace that closes the outermost block around an offset. */
function outerEndOf(text: string, offset: number): number {
  return atBraces(text, 0, (at, depth) => (depth <= 0 && at > offset ? at + 1 : undefined)) ?? text.length;
}
