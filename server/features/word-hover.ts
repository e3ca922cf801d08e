/** What a word of the language does, where it stands for no name. */
import { BLOCKS, rowOf, type Word } from '../language/index.js';
import { tokenize } from '../syntax/parser.js';
import { kindOf } from '../syntax/tolerant/tree.js';
import { caretAt, listBegun, type Caret } from './caret.js';

const WORD_BEFORE = /[\p{L}\p{N}_]*$/u;
const WORD_BEHIND = /^[\p{L}\p{N}_]*/u;
const LONGEST_LOOK = 300;
/** Tokens that are no words of the language, whatever they are called. */
const NO_WORDS: ReadonlySet<string> = new Set(['NAME', 'LABEL', 'UNIT', 'STRING', 'NUMBER', 'DATE', 'TOLERANCE']);

export function wordHover(
  text: string,
  offset: number,
): { readonly markdown: string; readonly start: number; readonly end: number } | null {
  const start = offset - WORD_BEFORE.exec(text.slice(Math.max(0, offset - LONGEST_LOOK), offset))![0].length;
  const end = offset + WORD_BEHIND.exec(text.slice(offset, offset + LONGEST_LOOK))![0].length;
  const word = text.slice(start, end);
  const caret = word === '' ? null : caretAt(text, start);
  const kind = caret && kindAt(text, caret, start);
  if (!caret || kind === null) return null;
  const row = kind === 'KEYWORD' ? null : rowAt(caret, word, kind);
  const markdown = row ? `\`${row.form}\`\n\n${row.documentation}` : (BLOCKS.get(word)?.documentation ?? null);
  return markdown === null ? null : { markdown, start, end };
}

/** The kind of token that a word is, which the lexer tells by what stands around; null where it stands for a name. */
function kindAt(text: string, { base }: Caret, start: number): string | null {
  const lineEnd = text.indexOf('\n', start);
  const { tokens } = tokenize(text.slice(base, lineEnd < 0 ? text.length : lineEnd));
  const kind = kindOf(tokens.find(({ startOffset, image }) => startOffset === start - base && image !== ''));
  return kind === '' || NO_WORDS.has(kind) ? null : kind;
}

/** A word that may follow a value too begins a statement where its block takes one, on a line of its own. */
function rowAt({ expected, atLineStart, blocks }: Caret, word: string, kind: string): Word | null {
  const found = expected.filter(each => each.kind === kind);
  const begins = atLineStart && BLOCKS.get(blocks.at(-1)?.keyword ?? 'file')?.statements.includes(word);
  const at = (begins && found.find(each => listBegun(each))) || found[0];
  return rowOf(word, at?.type ?? '');
}
