/** What a word of the language does, where it stands for no name. */
import { BLOCKS } from '../language/index.js';
import { tokenize } from '../syntax/parser.js';
import { wordRow, type WordKind } from '../language/index.js';
import { blockOf, caretAt, typeOf, type Caret } from './caret.js';

const WORD_BEFORE = /[\p{L}\p{N}_]*$/u;
const WORD_BEHIND = /^[\p{L}\p{N}_]*/u;
const LONGEST_LOOK = 300;
/** Tokens that are no words of the language, whatever they are called. */
const NO_WORDS: ReadonlySet<string> = new Set(['NAME', 'LABEL', 'UNIT', 'STRING', 'NUMBER', 'DATE', 'TOLERANCE']);
const INSIDE: readonly WordKind[] = ['operator', 'suffix', 'clause', 'interpolation', 'format', 'choice', 'statement'];

export function wordHover(
  text: string,
  offset: number,
): { readonly markdown: string; readonly start: number; readonly end: number } | null {
  const start = offset - WORD_BEFORE.exec(text.slice(Math.max(0, offset - LONGEST_LOOK), offset))![0].length;
  const end = offset + WORD_BEHIND.exec(text.slice(offset, offset + LONGEST_LOOK))![0].length;
  const word = text.slice(start, end);
  const caret = word === '' ? null : caretAt(text, start);
  if (!caret || !actsAsWord(text, caret, start)) return null;
  const block = BLOCKS.get(word);
  const doc = wordRow(word, ...kindsAt(caret, word));
  const markdown = doc ? `\`${doc.form}\`\n\n${doc.documentation}` : block ? block.documentation : null;
  return markdown === null ? null : { markdown, start, end };
}

/** The lexer tells by what stands around. */
function actsAsWord(text: string, { base, tokens }: Caret, start: number): boolean {
  const lineEnd = text.indexOf('\n', start);
  const read = tokenize(text.slice(base, lineEnd < 0 ? text.length : lineEnd)).tokens;
  const found = read.find(token => token.startOffset === start - base && token.image !== '');
  return found !== undefined && !NO_WORDS.has(typeOf(found)) && typeOf(tokens.at(-1)) !== '.';
}

/** A word that may follow a value too begins a statement where its block takes one, on a line of its own. */
function kindsAt(caret: Caret, word: string): readonly WordKind[] {
  const { statement, keyword } = blockOf(caret);
  const begins = caret.atLineStart && BLOCKS.get(keyword)?.statements.includes(word) === true;
  if (begins || statement >= caret.tokens.length) return ['statement'];
  const head = typeOf(caret.tokens[statement]);
  if (head === 'KEYWORD') return ['head', 'format', ...INSIDE];
  const inBrackets = caret.frames.at(-1)!.kind !== 'block';
  if (word === 'in' && !inBrackets && head !== 'check') return ['suffix'];
  if (word === 'from' && inBrackets) return ['clause'];
  return [']', '}'].includes(typeOf(caret.tokens.at(-1))) ? ['interpolation', ...INSIDE] : INSIDE;
}
