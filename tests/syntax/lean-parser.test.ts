import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { lowerPiece } from '../../server/model/lower.js';
import { parseByGrammar, parseLean, tokenize } from '../../server/syntax/parser.js';
import { split } from '../../server/syntax/splitter.js';
import { isSentence } from './recognizer.js';
import { generateProject } from '../bench/generate.js';

function sources(folder: string): string[] {
  return readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter(path => path.endsWith('.gus'))
    .map(path => readFileSync(join(folder, path), 'utf8'));
}

/** What the model makes of a piece by one parser, spans included. */
function lowered(
  text: string,
  document: ReturnType<typeof parseByGrammar>['document'],
  comments: ReturnType<typeof parseByGrammar>['comments'],
): string {
  const piece = lowerPiece({ document, problems: [], comments }, text, { file: 'test', start: 0 });
  return JSON.stringify([piece.root, piece.problems], (_, value: unknown) =>
    value instanceof Int32Array ? [...value] : value,
  );
}

/**
 * Whether a text is sound; null where its lexical errors keep parsers from it. The lean parser reads the sentences of
 * the grammar and no others; those that the generated parser reads come to the same items.
 */
function agree(text: string): boolean | null {
  const { tokens, errors, comments } = tokenize(text);
  if (errors.length > 0) return null;
  const lean = parseLean(tokens);
  expect(lean.$type, text).toBe(isSentence(tokens.map(token => token.tokenType.name)) ? 'Document' : 'GivenUp');
  const slow = parseByGrammar(text);
  if (lean.$type !== 'Document') expect(slow.problems, text).not.toEqual([]);
  else if (slow.problems.length === 0)
    expect(lowered(text, lean, comments) === lowered(text, slow.document, slow.comments), text).toBe(true);
  return lean.$type === 'Document';
}

const TEXTS = [
  ...sources('examples'),
  ...sources('server/library'),
  ...sources('tests/fixtures'),
  ...Object.values(generateProject(100)),
];

describe('the lean parser and the grammar', () => {
  test('read every project text to the same items, spans included', () => {
    const pieces = TEXTS.flatMap(text => split(text).map(piece => piece.text));
    expect(pieces.length).toBeGreaterThan(400);
    expect(pieces.map(agree).filter(Boolean).length).toBeGreaterThan(400);
  });

  test('agree on texts with tokens dropped, doubled and swapped, and on those of two texts mixed', () => {
    const pieces = TEXTS.flatMap(text => split(text).map(piece => piece.text)).filter(text => text.length < 1_500);
    let sound = 0;
    fc.assert(
      fc.property(
        fc.nat(pieces.length - 1),
        fc.nat(pieces.length - 1),
        fc.array(fc.tuple(fc.nat(400), fc.nat(400), fc.constantFrom('drop', 'double', 'swap', 'mix')), {
          minLength: 1,
          maxLength: 3,
        }),
        (index, mixed, changes) => {
          let words = wordsOf(pieces[index]!);
          const others = wordsOf(pieces[mixed]!);
          for (const [i, j, change] of changes) {
            const [at, other] = [i % words.length, j % words.length];
            if (change === 'drop') words = words.filter((_, k) => k !== at);
            else if (change === 'double') words.splice(other, 0, words[at]!);
            else if (change === 'swap') [words[at], words[other]] = [words[other]!, words[at]!];
            else words.splice(at, 0, ...others.slice(j % others.length, (j % others.length) + (i % 12)));
            if (words.length === 0) return;
          }
          if (agree(words.join(''))) sound++;
        },
      ),
      { numRuns: Number(process.env['GUSSET_MIXED'] ?? 2_000), seed: Number(process.env['GUSSET_SEED'] ?? 7) },
    );
    expect(sound).toBeGreaterThan(100);
  });
});

/** The words and signs of a text, each with the space before it. */
function wordsOf(text: string): string[] {
  let end = 0;
  return tokenize(text).tokens.map(token => {
    const word = text.slice(end, token.endOffset! + 1);
    end = token.endOffset! + 1;
    return word;
  });
}
