/** Paths that a text cites: `file("…")` and `use "…"`. */
import { tokenize } from '../syntax/parser.js';
import { typeOf } from './caret.js';

export interface CitedPath {
  readonly start: number;
  readonly end: number;
  readonly written: string;
  readonly word: 'file' | 'use';
}

/** Each with its place between the quotes. Paths with a backslash or a brace are no plain paths and are left out. */
export function citedPaths(text: string): CitedPath[] {
  const { tokens } = tokenize(text);
  return tokens.flatMap((token, i): CitedPath[] => {
    if (typeOf(token) !== 'STRING' || !/^"[^"\\{}]+"$/.test(token.image)) return [];
    const word =
      typeOf(tokens[i - 1]) === '(' && tokens[i - 2]?.image === 'file'
        ? 'file'
        : typeOf(tokens[i - 1]) === 'use'
          ? 'use'
          : null;
    return word
      ? [{ start: token.startOffset + 1, end: token.endOffset!, written: token.image.slice(1, -1), word }]
      : [];
  });
}
