import { readdirSync, readFileSync } from 'node:fs';
import type { LoweredPiece, ValueItem } from '../../server/model/declaration.js';
import { lowerPiece } from '../../server/model/lower.js';
import { parsePiece, type SyntaxProblem } from '../../server/syntax/parser.js';
import { split } from '../../server/syntax/splitter.js';

const folder = new URL('../../server/library/', import.meta.url);

/** The library's files, by name. */
export const sources: ReadonlyMap<string, string> = new Map(
  readdirSync(folder)
    .filter(name => name.endsWith('.gus'))
    .sort()
    .map(name => [name, readFileSync(new URL(name, folder), 'utf8')]),
);

/** The pieces of a text and what was wrong with them. */
export function read(
  file: string,
  text: string,
): { pieces: LoweredPiece[]; problems: (SyntaxProblem | LoweredPiece['problems'][number])[] } {
  const parsed = split(text).map(piece => ({ piece, tree: parsePiece(piece.text) }));
  const pieces = parsed.map(({ piece, tree }) => lowerPiece(tree, piece.text, { file, start: piece.start }));
  return {
    pieces,
    problems: [...parsed.flatMap(({ tree }) => tree.problems), ...pieces.flatMap(piece => piece.problems)],
  };
}

/** All formulas and values of the library. */
export const items: readonly ValueItem[] = [...sources].flatMap(([file, text]) =>
  read(file, text).pieces.flatMap(piece => piece.root.values),
);
export const formulas: readonly ValueItem[] = items.filter(item => item.kind === 'formula');

/** `Example: preload(9 N*m, 0.16, 6 mm) = 9.375 kN` as its two sides. */
export function examplesOf(formula: ValueItem): { expression: string; result: string }[] {
  return docLines(formula)
    .filter(line => line.startsWith('Example: '))
    .map(line => {
      const equals = line.lastIndexOf(' = ');
      return { expression: line.slice('Example: '.length, equals), result: line.slice(equals + ' = '.length) };
    });
}

export function docLines(item: ValueItem): string[] {
  return (item.doc ?? '').split('\n');
}
