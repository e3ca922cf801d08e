/** Paths that a text cites: `file("…")` and `use "…"`. */
import { readText } from '../syntax/tolerant/text.js';
import { nodesOf, type Token } from '../syntax/tolerant/tree.js';

export interface CitedPath {
  readonly start: number;
  readonly end: number;
  readonly written: string;
  readonly word: 'file' | 'use';
}

/** Each with its place between the quotes. Paths with a backslash or a brace are no plain paths and are left out. */
export function citedPaths(text: string): CitedPath[] {
  const found: CitedPath[] = [];
  for (const { tree, start } of readText(text))
    for (const { node } of nodesOf(tree)) {
      const isFile = node.type === 'Call' && node.token('callee')?.image === 'file';
      if (isFile) found.push(...plain(node.node('arguments')?.token('value'), start, 'file'));
      else if (node.type === 'Use') found.push(...plain(node.token('path'), start, 'use'));
    }
  return found;
}

function plain(token: Token | null | undefined, base: number, word: CitedPath['word']): CitedPath[] {
  if (!token || !/^"[^"\\{}]+"$/.test(token.image)) return [];
  return [
    { start: base + token.startOffset + 1, end: base + token.endOffset!, written: token.image.slice(1, -1), word },
  ];
}
