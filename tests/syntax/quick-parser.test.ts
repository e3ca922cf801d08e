import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { lowerPiece } from '../../server/model/lower.js';
import { parseByGrammar, tokenize } from '../../server/syntax/parser.js';
import { quickParse } from '../../server/syntax/quick-parser.js';
import { split } from '../../server/syntax/splitter.js';
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

function agree(text: string): 'same' | 'left to the grammar' {
  const { tokens, errors, comments } = tokenize(text);
  const quick = errors.length === 0 ? quickParse(tokens) : null;
  if (quick?.$type !== 'Document') return 'left to the grammar';
  const slow = parseByGrammar(text);
  expect(slow.problems, text).toEqual([]);
  expect(lowered(text, quick, comments), text).toBe(lowered(text, slow.document, slow.comments));
  return 'same';
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
    const outcomes = pieces.map(agree);
    expect(pieces.length).toBeGreaterThan(400);
    // What is left to the grammar costs time, so nearly nothing may be.
    expect(outcomes.filter(outcome => outcome === 'same').length / pieces.length).toBeGreaterThan(0.97);
  });

  test('agree on texts with tokens dropped, doubled and swapped', () => {
    const pieces = TEXTS.flatMap(text => split(text).map(piece => piece.text)).filter(text => text.length < 1_500);
    fc.assert(
      fc.property(
        fc.nat(pieces.length - 1),
        fc.array(fc.tuple(fc.nat(400), fc.nat(400), fc.constantFrom('drop', 'double', 'swap')), {
          minLength: 1,
          maxLength: 3,
        }),
        (index, changes) => {
          let tokens = tokenize(pieces[index]!).tokens.map(token => token.image);
          for (const [i, j, change] of changes) {
            const [at, other] = [i % tokens.length, j % tokens.length];
            if (change === 'drop') tokens = tokens.filter((_, k) => k !== at);
            else if (change === 'double') tokens.splice(other, 0, tokens[at]!);
            else [tokens[at], tokens[other]] = [tokens[other]!, tokens[at]!];
            if (tokens.length === 0) return;
          }
          agree(tokens.join(' '));
        },
      ),
      { numRuns: 1_500, seed: 7 },
    );
  });
});
