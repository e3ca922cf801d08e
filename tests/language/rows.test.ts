/** Every row of the tables of the language is read, lowered, completed, coloured, formatted and documented. */
import { AstUtils, GrammarAST } from 'langium';
import { describe, expect, test } from 'vitest';
import { completionsAt } from '../../server/features/completion/completions.js';
import { typedTokens } from '../../server/features/token-types.js';
import { wordHover } from '../../server/features/word-hover.js';
import { BLOCKS, WORDS, type Word } from '../../server/language/index.js';
import { lowerPiece } from '../../server/model/lower.js';
import { formatText } from '../../server/syntax/formatter.js';
import { parsePiece, tokenize } from '../../server/syntax/parser.js';
import { split } from '../../server/syntax/splitter.js';
import { GussetGrammar } from '../../server/syntax/generated/grammar.js';
import { open } from '../findings/project.js';
import { contextOf } from '../support/features.js';

type Token = ReturnType<typeof tokenize>['tokens'][number];

interface Row {
  readonly word: string;
  readonly kind: string;
}

/** What acts as a word in a text; types of parameters and choices are names that mean something in their place. */
const ROWS: readonly Row[] = [
  ...[...BLOCKS.keys()].filter(kind => kind !== 'file').map(word => ({ word, kind: 'block' })),
  ...WORDS.filter(({ kind, wordless }) => kind !== 'choice' && kind !== 'type' && !wordless),
];
const EXAMPLES: readonly string[] = [...BLOCKS.values(), ...WORDS].flatMap(({ example }) => example ?? []);

/** Whether a token is the word of a row where the row says that it acts. */
function actsAs({ word, kind }: Row, tokens: readonly Token[], i: number): boolean {
  const { image, tokenType } = tokens[i]!;
  if (kind === 'block') return image === word && tokenType.name === 'KEYWORD';
  if (tokenType.name !== word) return false;
  if (kind === 'statement') return begins(tokens, i);
  if (kind === 'head' || kind === 'format') return headBefore(tokens, i);
  if (kind === 'interpolation') return tokens[i - 1]?.image === ']' || tokens[i - 1]?.image === '}';
  if (kind === 'suffix' && begins(tokens, i)) return false;
  return !headBefore(tokens, i) || kind === 'clause';
}

function begins(tokens: readonly Token[], i: number): boolean {
  const before = tokens[i - 1];
  return !before || before.image === '{' || before.endLine! < tokens[i]!.startLine!;
}

/** Whether only the head of a block stands between its word and a token. */
function headBefore(tokens: readonly Token[], i: number): boolean {
  const opener = tokens.findLastIndex(({ tokenType }, at) => at < i && tokenType.name === 'KEYWORD');
  return opener >= 0 && !tokens.slice(opener, i).some(({ image }) => image === '{');
}

/** The first example with the word in its place, and where it stands. */
function shown(row: Row): { readonly text: string; readonly start: number } {
  const own = row.kind === 'block' ? BLOCKS.get(row.word)!.example : (row as Word).example;
  for (const text of own ? [own] : EXAMPLES) {
    const { tokens } = tokenize(text);
    const at = tokens.findIndex((_, i) => actsAs(row, tokens, i));
    if (at >= 0) return { text, start: tokens[at]!.startOffset };
  }
  throw new Error(`No example shows ${row.word}, which is a ${row.kind}: give its row one.`);
}

describe.each(ROWS.map(row => [row.kind, row.word, row] as const))('%s %s', (_kind, word, row) => {
  test('is read, lowered and formatted', () => {
    const { text } = shown(row);
    for (const piece of split(text)) {
      const parsed = parsePiece(piece.text);
      expect(parsed.problems).toEqual([]);
      expect(lowerPiece(parsed, piece.text, { file: 'a.gus', start: piece.start }).root.unread).toBe(false);
    }
    const formatted = formatText(text);
    expect(tokenize(formatted).tokens.map(({ image }) => image)).toEqual(
      tokenize(text).tokens.map(({ image }) => image),
    );
    expect(formatText(formatted)).toBe(formatted);
  });

  test('is completed', () => {
    const { text, start } = shown(row);
    const typed = `${text.slice(0, start)}${word[0]!}`;
    const context = contextOf(open({ 'a.gus': typed + text.slice(start + word.length) }), 'a.gus');
    const { items } = completionsAt(context, typed.length, undefined);
    expect(items.map(({ label }) => label)).toContain(word);
  });

  test('is coloured', () => {
    const { text, start } = shown(row);
    const token = typedTokens(open({ 'a.gus': text }), text).find(each => each.start === start);
    expect(token?.type).toBe('keyword');
  });

  test('is documented', () => {
    const { text, start } = shown(row);
    expect(wordHover(text, start + 1)?.markdown).toContain(
      row.kind === 'block' ? BLOCKS.get(word)!.documentation : (row as Word).documentation,
    );
  });
});

test('the words of the grammar are those of the tables', () => {
  const words = new Set(
    [...AstUtils.streamAllContents(GussetGrammar())].flatMap(node =>
      GrammarAST.isKeyword(node) && /^\w+$/.test(node.value) ? [node.value] : [],
    ),
  );
  const rows = new Set(
    WORDS.filter(({ kind, wordless }) => kind !== 'choice' && kind !== 'type' && !wordless).map(({ word }) => word),
  );
  expect([...words].sort()).toEqual([...rows].sort());
});
