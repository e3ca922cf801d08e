/** The tolerant trees of a text, one for each of its pieces; those that are as before are not read again. */
import type { Comment } from '../lexer.js';
import { tokenize } from '../parser.js';
import { split } from '../splitter.js';
import { Reader } from './reader.js';
import type { Tree } from './tree.js';

/** Places count from the start of the piece. */
export interface PieceRead {
  readonly tree: Tree;
  readonly comments: readonly Comment[];
}

/** Those of the text that was read last. */
let known: ReadonlyMap<string, PieceRead> = new Map();

export function readText(text: string): readonly (PieceRead & { readonly start: number })[] {
  const pieces = split(text).map(piece => ({ start: piece.start, text: piece.text, read: readPiece(piece.text) }));
  known = new Map(pieces.map(({ text: of, read }) => [of, read]));
  return pieces.map(({ start, read }) => ({ start, ...read }));
}

function readPiece(text: string): PieceRead {
  const found = known.get(text);
  if (found) return found;
  const { tokens, comments } = tokenize(text);
  return { tree: new Reader(tokens).tree(), comments };
}
