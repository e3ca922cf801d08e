/**
 * The lexer. Units, labels and soft words depend on the token before them, so it is written by hand and yields the
 * token types of the
 * generated grammar. Rules: `docs/language.md`, "Words, units and labels".
 */
import type { ILexingError, IToken, TokenType, TokenTypeDictionary } from 'chevrotain';
import type { Lexer, LexerResult } from 'langium';
import { parseUnit } from '../units/index.js';
import { endOfComment, endOfText } from './scan.js';
import {
  BIDIRECTIONAL,
  bidirectionalSlip,
  characterSlip,
  commaMeanings,
  dateSlip,
  limitsSlip,
  numberSlip,
  pointSlip,
  unitSlip,
  wordSlip,
  type Slip,
} from './slips.js';
import {
  BLOCK_WORDS,
  ENDS_OPERAND,
  FORMAT_WORDS,
  LABEL_WORDS,
  LEVEL_WORDS,
  mayBeUnit,
  RESERVED,
  STATEMENT_WORDS,
  SUFFIX_WORDS,
  SUFFIXES_IN_BRACKETS,
} from '../language/index.js';

/** A comment with its place; `doc` marks `///`. */
export interface Comment {
  readonly start: number;
  readonly end: number;
  readonly text: string;
  readonly doc: boolean;
}

/** An error of the lexer, and what may be written instead, best first. */
export interface LexicalError extends ILexingError {
  readonly replacements: readonly string[];
}

export interface GussetLexerResult extends LexerResult {
  readonly errors: LexicalError[];
  readonly comments: readonly Comment[];
}

const WORD = /[\p{L}_][\p{L}\p{M}\p{Nd}_\u2080-\u2089\u2032]*/uy;
const LABEL = /[\p{L}][\p{L}\p{N}_]*(?:-[\p{L}\p{N}_]+)+(?:\.\d+)*(?:\/[\p{L}_][\p{L}\p{N}_-]*)?/uy;
const NUMBER = /\d+(?:\.\d+)?(?:[eE][+-]?\d+)?/y;
const DATE = /\d{4}-\d{2}-\d{2}(?![\d])/y;
const UNIT_WORD = String.raw`[\p{L}%‰°µμΩ][\p{L}\p{N}°_]*`;
const UNIT_POWER = String.raw`(?:\^-?\d+(?:\.\d+)?|\^\(-?\d+\/\d+\)|⁻?[⁰¹²³⁴-⁹]+)?`;
const UNIT = new RegExp(
  String.raw`(?:1\/)?(?:${UNIT_WORD}${UNIT_POWER})(?:[*\/·.](?:${UNIT_WORD}${UNIT_POWER}|\((?:${UNIT_WORD}${UNIT_POWER})(?:[*\/·](?:${UNIT_WORD}${UNIT_POWER}))*\)))*`,
  'uy',
);
const RECIPROCAL_UNIT = new RegExp(
  String.raw`1\/(?:${UNIT_WORD}${UNIT_POWER}|\((?:${UNIT_WORD}${UNIT_POWER})(?:[*\/·](?:${UNIT_WORD}${UNIT_POWER}))*\))(?:[*\/·](?:${UNIT_WORD}${UNIT_POWER}))*`,
  'uy',
);
const GLUED = /[*/^·](?=[\p{L}\p{N}(_])|\((?=[^)\n]*\))/uy;
const GLUED_REST = /(?:[*/^·.]?(?:[\p{L}\p{N}_.^]+|\([^)\n]*\)))+/uy;
const SIGNED = String.raw`\d+(?:\.\d+)?(?:[eE][+-]?\d+)?(?:\s*${UNIT_WORD})?`;
const TOLERANCE = new RegExp(
  String.raw`\(\s*(?:[+]\s*${SIGNED}\s*,\s*[-−]\s*${SIGNED}|[-−]\s*${SIGNED}\s*,\s*[+]\s*${SIGNED}|[+]\s*${SIGNED}\s*,\s*[+]\s*${SIGNED}|[-−]\s*${SIGNED}\s*,\s*[-−]\s*${SIGNED})\s*\)(?:[ \t]*${UNIT_WORD}${UNIT_POWER}(?![\p{L}\p{N}_]*[ \t]*=))?`,
  'uy',
);
const TEXT_FOLLOWS = /[ \t]*"/y;
const ASSIGNS = /\s*=(?!=)/y;
const HEADLESS = /[ \t]*(?:["{]|[\p{L}_])/uy;
const BLOCK_SHAPE =
  /\s+[\p{L}_][\p{L}\p{N}_-]*\s*(?:["{=]|(?:of|is|for|on|from|in)\b|$|[\r\n])|\s*\{|\s+"(?:[^"\\]|\\.)*"\s*\{/uy;
const ANY_BLOCK_NAME = /\s+(?!(?:and|or|then|else|for|in|as)\b)[\p{L}_]/uy;
const UNKNOWN_BLOCK =
  /[ \t]+[\p{L}_][\p{L}\p{N}_-]*[ \t]*(?:"(?:[^"\\\n]|\\.)*"\s*\{|\{|"(?:[^"\\\n]|\\.)*")|[ \t]+"(?:[^"\\\n]|\\.)*"\s*\{/uy;
const FOREIGN = /[^\0-\x7f]/;
/** A digit behind which a comma, a point, a space, `_`, `·`, `×` or a power may make another number of it. */
const GOES_ON = /\d+(?:[,._·⋅^⁻⁰¹²³⁴-⁹]|[ \t\u00a0\u2009\u202f]*(?:[×·⋅x*]|\d{3}(?!\d)))/uy;
const GLUED_COMMA = /\d+(?:\.\d+)?,\d+(?:,\d+)*(?:\.\d+)?/y;

const SYMBOLS: readonly [string, string][] = [
  ['+/-', '±'],
  ['->', '->'],
  ['<=', '<='],
  ['>=', '>='],
  ['==', '=='],
  ['!=', '!='],
  ['..', '..'],
  ['≤', '<='],
  ['≥', '>='],
  ['≠', '!='],
  ['×', '*'],
  ['·', '*'],
  ['−', '-'],
  ['→', '->'],
  ['±', '±'],
  ['{', '{'],
  ['}', '}'],
  ['(', '('],
  [')', ')'],
  ['[', '['],
  [']', ']'],
  [',', ','],
  [':', ':'],
  ['=', '='],
  ['+', '+'],
  ['-', '-'],
  ['*', '*'],
  ['/', '/'],
  ['^', '^'],
  ['<', '<'],
  ['>', '>'],
  ['.', '.'],
  ['#', '#'],
];
const BY_FIRST = new Map<number, [string, string][]>();
for (const [spelling, name] of SYMBOLS) {
  const first = spelling.charCodeAt(0);
  BY_FIRST.set(first, [...(BY_FIRST.get(first) ?? []), [spelling, name]]);
}
const SUPERSCRIPTS = '⁰¹²³⁴⁵⁶⁷⁸⁹';
const POWER = /[⁰¹²³⁴⁵⁶⁷⁸⁹]+/uy;

export class GussetLexer implements Lexer {
  /** Comments of the text read last; the parser's own result has no room for them. */
  lastComments: readonly Comment[] = [];

  constructor(readonly definition: TokenTypeDictionary) {}

  tokenize(text: string): GussetLexerResult {
    const run = new Run(text, this.definition);
    run.all();
    closeOpenBlocks(run.tokens, run.errors, this.definition);
    this.lastComments = run.comments;
    return { tokens: run.tokens, hidden: [], errors: run.errors, comments: run.comments };
  }
}

interface Bracket {
  readonly opener: string;
  readonly literal: boolean; // a vector or list literal, not a call or an index
  /** Numbers in it that a comma joins without a space. */
  readonly glued: { readonly slip: Slip; readonly start: number }[];
  /** Whether a comma in it has a space behind it. */
  spaced: boolean;
}

/** One pass over one text. */
class Run {
  readonly tokens: IToken[] = [];
  readonly errors: LexicalError[] = [];
  readonly comments: Comment[] = [];
  private offset = 0;
  private line = 1;
  private lineStart = 0;
  private lineEnd: number;
  private last = ''; // name of the last token's type
  private lastLine = 0;
  private labels = false; // a label may stand next
  private inLabelList = false;
  private statement = ''; // the last statement word
  private inTableHead = false; // between `table` or `results` and its `{`
  private brackets: Bracket[] = [];

  constructor(
    private readonly text: string,
    private readonly types: TokenTypeDictionary,
  ) {
    this.lineEnd = endOfLine(text, 0);
  }

  all(): void {
    const { text } = this;
    while (this.offset < text.length) {
      const c = text.charCodeAt(this.offset);
      if (c === 1 && this.offset === 0) {
        this.push('PLACEHOLDER', 1);
      } else if (c === 10) {
        this.startLine(++this.offset);
      } else if (c <= 32 || (c === 0xfeff && this.offset === 0)) {
        this.offset++;
      } else if (!this.comment(c)) {
        this.token(c);
      }
    }
    for (const { 0: control, index } of text.matchAll(BIDIRECTIONAL)) {
      const { message, replacements } = bidirectionalSlip(control, index);
      this.error(message, index, 1, replacements);
    }
  }

  private comment(c: number): boolean {
    const end = c === 47 ? endOfComment(this.text, this.offset) : -1;
    if (end < 0) return false;
    const image = this.text.slice(this.offset, end);
    if (image.startsWith('/*') && !image.endsWith('*/'))
      this.error('This comment is never closed: `*/` is missing.', this.offset, 2);
    this.comments.push({ start: this.offset, end, text: image, doc: image.startsWith('///') });
    this.advanceTo(end);
    return true;
  }

  private token(c: number): void {
    if (c === 34) return this.string();
    if (c >= 48 && c <= 57) return this.number();
    const word = this.wordHere(c);
    const slip = word && c >= 128 ? wordSlip(word, this.offset) : null;
    if (slip) return this.slip(slip, this.last === 'NUMBER' ? 'UNIT' : 'NAME');
    if (word || c === 37 || c === 176 || c === 8240) return this.word(word ?? this.text[this.offset]!);
    this.symbol(c);
  }

  /** Most words are plain letters, which need no pattern. */
  private wordHere(c: number): string | undefined {
    if (c < 128 && !isWordCode(c)) return undefined;
    let end = this.offset;
    while (isWordCode(this.text.charCodeAt(end))) end++;
    return this.text.charCodeAt(end) >= 128 ? this.match(WORD) : this.text.slice(this.offset, end);
  }

  private string(): void {
    const { end, closed } = endOfText(this.text, this.offset);
    if (!closed) this.error('This text has no closing quote: end it with `"`.', this.offset, end - this.offset);
    this.push('STRING', end);
  }

  private number(): void {
    if ((this.last === 'NUMBER' || this.last === 'as') && this.onLastLine()) {
      const reciprocal = this.match(RECIPROCAL_UNIT);
      if (reciprocal) return this.unit(reciprocal);
    }
    const date = this.text.charCodeAt(this.offset + 4) === 45 ? this.match(DATE) : undefined;
    if (date) return this.push('DATE', this.offset + date.length);
    const isOdd = this.match(GOES_ON) !== undefined;
    const day = isOdd ? dateSlip(this.text, this.offset) : null;
    if (day) return this.slip(day, 'DATE');
    const slip = isOdd ? numberSlip(this.text, this.offset, this.isInList()) : null;
    if (slip) return this.slip(slip, 'NUMBER');
    if (isOdd) this.noteGlued();
    this.push('NUMBER', this.offset + this.match(NUMBER)!.length);
  }

  /** Where a comma stands between numbers: in brackets, and between the columns of a file. */
  private isInList(): boolean {
    return this.inTableHead || (this.brackets.length > 0 && this.brackets.at(-1)!.opener !== '{');
  }

  /** Numbers with a comma and no space between them, which may be one: told where other commas have a space. */
  private noteGlued(): void {
    const glued = this.brackets.at(-1)?.glued;
    const written = this.match(GLUED_COMMA);
    if (!glued || written === undefined || (glued.at(-1)?.slip.end ?? 0) > this.offset) return;
    const meant = commaMeanings(written);
    const message = `'${written}' stands among numbers that are apart by a comma and a space: write ${meant.join(', or ')}, or put a space behind the comma.`;
    const replacements = [...meant, written.replaceAll(',', ', ')];
    glued.push({ slip: { message, end: this.offset + written.length, replacements }, start: this.offset });
  }

  /** Tells a slip, and goes on with what is likely meant by it. */
  private slip({ message, end, replacements }: Slip, type: string): void {
    const [meant = ''] = replacements;
    this.error(message, this.offset, end - this.offset, replacements);
    if (type === '') this.advanceTo(end);
    else this.push(type, end, interned(meant));
  }

  /** A unit directly behind its number, behind `as`, or behind the bracket of a vector or list literal. */
  private unitHere(word: string): string | undefined {
    const behindNumber = this.last === 'NUMBER' || this.last === 'TBD';
    const behindLiteral = (this.last === ')' || this.last === ']') && this.closedLiteral;
    if (!(behindNumber || this.last === 'as' || behindLiteral) || !this.onLastLine()) return undefined;
    if (this.last === 'as' && this.statement === 'use') return undefined;
    if (this.last !== 'as' && !mayBeUnit(word)) return undefined;
    const text = this.match(UNIT);
    if (!text || this.last === 'as') return text;
    if (this.followedBy(ASSIGNS, this.offset + text.length)) return undefined;
    if (behindLiteral && 'kind' in parseUnit(text)) return undefined;
    return text;
  }

  private closedLiteral = false;

  private unit(text: string): void {
    const slip = this.last === 'as' ? null : unitSlip(this.text, this.offset);
    if (slip) return this.slip(slip, 'UNIT');
    let end = this.offset + text.length;
    GLUED.lastIndex = end;
    if (GLUED.test(this.text)) {
      GLUED_REST.lastIndex = end;
      end += GLUED_REST.exec(this.text)?.[0].length ?? 0;
    }
    this.push('UNIT', end);
  }

  private word(word: string): void {
    if (this.last === '.' && this.tokens[this.tokens.length - 1]!.endOffset === this.offset - 1)
      return this.push('NAME', this.offset + word.length);
    const unit = this.formats(word) ? undefined : this.unitHere(word);
    if (unit) return this.unit(unit);
    if (!isWordCode(word.charCodeAt(0)) && !/\p{L}/u.test(word[0]!)) return this.unexpected();
    if (this.labels || this.opensBlock()) {
      const label = this.match(LABEL);
      if (label) return this.label(label);
    }
    this.push(this.classify(word), this.offset + word.length, interned(word));
  }

  private opensBlock(): boolean {
    return this.last === 'KEYWORD';
  }

  private label(label: string): void {
    this.inLabelList = true;
    this.push('LABEL', this.offset + label.length);
  }

  /** Whether a word acts as a word here, and as which; else it is a name. */
  private classify(word: string): string {
    const end = this.offset + word.length;
    if (RESERVED.has(word) || this.formats(word)) return word;
    if (word === 'above' && this.endsOperand() && this.onLastLine() && this.followedBy(TEXT_FOLLOWS, end)) return word;
    if (this.brackets.length > 0 && this.brackets[this.brackets.length - 1]!.opener !== '{') {
      if (this.endsOperand() && SUFFIXES_IN_BRACKETS.has(word)) return word;
      return this.atLineStart() && BLOCK_WORDS.has(word) && this.followedBy(BLOCK_SHAPE, end) ? 'KEYWORD' : 'NAME';
    }
    if (this.followedBy(ASSIGNS, end) || this.text.charCodeAt(end) === 46) return 'NAME';
    if (word === 'by' && (this.last === 'verify' || (!this.endsOperand() && this.followedBy(HEADLESS, end))))
      return 'by';
    if (word === 'while' && this.last === 'holds') return 'while';
    if (word === 'each' && this.last === 'on') return 'each';
    if (!this.endsOperand() && this.last !== '' && this.last !== '{') {
      const startsStatement = this.atLineStart() && BLOCK_WORDS.has(word) && this.followedBy(BLOCK_SHAPE, end);
      return startsStatement ? 'KEYWORD' : 'NAME';
    }
    if (this.statement === 'verify' && LEVEL_WORDS.has(word)) return 'LEVEL';
    if (this.statement === 'use' && word === 'pin') return 'pin';
    if (word === 'step' || SUFFIX_WORDS.has(word)) {
      if (!(STATEMENT_WORDS.has(word) && (this.last === '' || this.last === '{')))
        return SUFFIX_WORDS.has(word) ? word : 'NAME';
    }
    if (STATEMENT_WORDS.has(word)) return word;
    if (BLOCK_WORDS.has(word))
      return this.followedBy(ANY_BLOCK_NAME, end) || this.followedBy(BLOCK_SHAPE, end) ? 'KEYWORD' : 'NAME';
    return this.followedBy(UNKNOWN_BLOCK, end) && this.unknownBlock(word, end) ? 'KEYWORD' : 'NAME';
  }

  /** Whether a word says here how a data file is written. */
  private formats(word: string): boolean {
    return this.inTableHead && FORMAT_WORDS.has(word) && this.endsOperand();
  }

  /** `requirment STR-010 "…" {`: a misspelt word opens a block; `strength "Fu [MPa]"` in a table does not. */
  private unknownBlock(word: string, end: number): boolean {
    UNKNOWN_BLOCK.lastIndex = end;
    const shape = UNKNOWN_BLOCK.exec(this.text)![0]!;
    return (
      shape.endsWith('{') ||
      (this.atLineStart() && /^[ \t]+[\p{L}_][\p{L}\p{N}_-]*[ \t]*"/u.test(shape) && word.length > 2)
    );
  }

  private symbol(c: number): void {
    if (c === 40 && this.onLastLine() && (this.last === 'NUMBER' || this.last === 'UNIT')) {
      const tolerance = this.match(TOLERANCE);
      if (tolerance) return this.push('TOLERANCE', this.offset + tolerance.length);
      const limits = limitsSlip(this.text, this.offset);
      if (limits) return this.slip(limits, 'TOLERANCE');
    }
    const point = c === 46 && !this.endsOperand() ? pointSlip(this.text, this.offset) : null;
    if (point) return this.slip(point, 'NUMBER');
    for (const [spelling, name] of BY_FIRST.get(c) ?? []) {
      if (this.text.startsWith(spelling, this.offset)) {
        this.bracket(spelling);
        return this.push(name, this.offset + spelling.length, name);
      }
    }
    const power = this.endsOperand() ? this.match(POWER) : undefined;
    if (power) {
      this.insert('^', '^');
      return this.push(
        'NUMBER',
        this.offset + power.length,
        [...power].map(digit => SUPERSCRIPTS.indexOf(digit)).join(''),
      );
    }
    this.unexpected();
  }

  private bracket(spelling: string): void {
    if (spelling === '(' || spelling === '[' || spelling === '{') {
      this.brackets.push({ opener: spelling, literal: !this.endsOperand(), glued: [], spaced: false });
    } else if (spelling === ')' || spelling === ']') {
      if (this.brackets.length > 0 && this.brackets[this.brackets.length - 1]!.opener !== '{')
        this.close(this.brackets.pop()!);
    } else if (spelling === ',') {
      const list = this.brackets.at(-1);
      if (list && /\s/.test(this.text[this.offset + 1] ?? '')) list.spaced = true;
    } else if (spelling === '}') {
      while (this.brackets.length > 0 && this.brackets.pop()!.opener !== '{');
    }
  }

  private close({ literal, glued, spaced }: Bracket): void {
    this.closedLiteral = literal;
    if (!spaced) return;
    for (const { slip, start } of glued) this.error(slip.message, start, slip.end - start, slip.replacements);
  }

  private unexpected(): void {
    const slip = characterSlip(this.text, this.offset);
    if (slip) return this.slip(slip, typeMeant(slip.replacements[0]!));
    const character = String.fromCodePoint(this.text.codePointAt(this.offset)!);
    // It is told with those in texts and comments.
    if (character.search(BIDIRECTIONAL) === 0) return this.advanceTo(this.offset + 1);
    if (character === ';') this.error('A statement needs no `;` at its end: leave it out.', this.offset, 1);
    else if (character === "'")
      this.error('A text stands in double quotes: write "…" instead of \'…\'.', this.offset, 1);
    else this.error(`'${character}' has no meaning here.`, this.offset, character.length);
    this.advanceTo(this.offset + character.length);
  }

  private endsOperand(): boolean {
    return ENDS_OPERAND.has(this.last);
  }

  private atLineStart(): boolean {
    return this.lastLine < this.line;
  }

  private onLastLine(): boolean {
    return this.lastLine === this.line;
  }

  private match(pattern: RegExp, offset = this.offset): string | undefined {
    pattern.lastIndex = offset;
    return pattern.test(this.text) ? this.text.slice(offset, pattern.lastIndex) : undefined;
  }

  private followedBy(pattern: RegExp, offset: number): boolean {
    pattern.lastIndex = offset;
    return pattern.test(this.text);
  }

  private advanceTo(end: number): void {
    for (let i = this.lineEnd; i < end; i = this.lineEnd) this.startLine(i + 1);
    this.offset = end;
  }

  private startLine(start: number): void {
    this.line++;
    this.lineStart = start;
    this.lineEnd = endOfLine(this.text, start);
  }

  private push(name: string, end: number, written = interned(this.text.slice(this.offset, end))): void {
    // One name has one spelling, however its accents are put together.
    const image = (name === 'NAME' || name === 'LABEL') && FOREIGN.test(written) ? written.normalize('NFC') : written;
    const type = this.types[name] as TokenType & { tokenTypeIdx?: number };
    const startLine = this.line;
    const startColumn = this.offset - this.lineStart + 1;
    const startOffset = this.offset;
    this.advanceTo(end);
    this.tokens.push({
      image,
      startOffset,
      endOffset: end - 1,
      startLine,
      startColumn,
      endLine: this.line,
      endColumn: end - this.lineStart,
      tokenType: type,
      tokenTypeIdx: type.tokenTypeIdx!,
    });
    this.after(name, image);
    this.lastLine = this.line;
  }

  private insert(name: string, image: string): void {
    const type = this.types[name] as TokenType & { tokenTypeIdx?: number };
    const at = this.offset;
    const column = at - this.lineStart + 1;
    this.tokens.push({
      image,
      startOffset: at,
      endOffset: at - 1,
      startLine: this.line,
      startColumn: column,
      endLine: this.line,
      endColumn: column - 1,
      tokenType: type,
      tokenTypeIdx: type.tokenTypeIdx!,
    });
    this.last = name;
  }

  private after(name: string, image: string): void {
    // `use` behind a value is another word.
    if (name === 'STRING' && this.last === 'use') this.statement = 'use';
    this.last = name;
    const opensLabels = LABEL_WORDS.has(name);
    if (opensLabels) this.inLabelList = true;
    this.labels = opensLabels || (name === ',' && this.inLabelList);
    if (!opensLabels && name !== ',' && name !== 'LABEL' && name !== 'NAME') this.inLabelList = false;
    if (name === 'KEYWORD') this.inTableHead = image === 'table' || image === 'results';
    else if (name === '{' || name === '}') this.inTableHead = false;
    if (name === 'KEYWORD' || (STATEMENT_WORDS.has(name) && !SUFFIX_WORDS.has(name))) this.statement = name;
    else if (name === '}' || name === '=') this.statement = '';
  }

  private error(message: string, offset: number, length: number, replacements: readonly string[] = []): void {
    const { line, lineStart } = this;
    this.errors.push({ message, offset, length, line, column: offset - lineStart + 1, replacements });
  }
}

function endOfLine(text: string, start: number): number {
  const end = text.indexOf('\n', start);
  return end < 0 ? Infinity : end;
}

/** The token that a character stands for; none where it is left out. */
function typeMeant(replacement: string): string {
  const c = replacement.charCodeAt(0);
  if (c === 34) return 'STRING';
  if (replacement.trim() === '') return '';
  if (isWordCode(c)) return c >= 48 && c <= 57 ? 'NUMBER' : 'NAME';
  return SYMBOLS.find(([spelling]) => spelling === replacement)?.[1] ?? '';
}

/** A plain letter, digit or `_`. */
function isWordCode(c: number): boolean {
  return (c >= 97 && c <= 122) || (c >= 65 && c <= 90) || c === 95 || (c >= 48 && c <= 57);
}

/** Names, units and numbers recur a thousandfold; the tree keeps one of each. Long texts are kept as they are. */
const images = new Map<string, string>();
function interned(image: string): string {
  if (image.length > 24) return image;
  const known = images.get(image);
  if (known !== undefined) return known;
  if (images.size > 200_000) images.clear();
  images.set(image, image);
  return image;
}

/**
 * Where braces don't balance, a block word that starts a line no deeper than an open block's own line closes that
 * block.
 */
function closeOpenBlocks(tokens: IToken[], errors: LexicalError[], types: TokenTypeDictionary): void {
  const open = types['{']!;
  const close = types['}'] as TokenType & { tokenTypeIdx?: number };
  const keyword = types['KEYWORD']!;
  let balance = 0;
  for (const token of tokens) balance += token.tokenType === open ? 1 : token.tokenType === close ? -1 : 0;
  if (balance <= 0) return;
  const virtual = (before: IToken): IToken => ({
    ...before,
    image: '',
    startOffset: before.endOffset! + 1,
    endOffset: before.endOffset!,
    startLine: before.endLine!,
    startColumn: before.endColumn! + 1,
    tokenType: close,
    tokenTypeIdx: close.tokenTypeIdx!,
  });
  const blocks: { token: IToken; column: number }[] = [];
  const result: IToken[] = [];
  let line = 0;
  let column = 1;
  const missing = (block: { token: IToken }, where: string): void => {
    errors.push({
      offset: block.token.startOffset,
      length: 1,
      line: block.token.startLine!,
      column: block.token.startColumn!,
      message: `This block is never closed: '}' is missing ${where}.`,
      replacements: [],
    });
  };
  for (const token of tokens) {
    if (token.startLine !== line) {
      line = token.startLine!;
      column = token.startColumn!;
      while (
        balance > 0 &&
        blocks.length > 0 &&
        token.tokenType === keyword &&
        column <= blocks[blocks.length - 1]!.column
      ) {
        missing(blocks.pop()!, `before '${token.image}'`);
        balance--;
        result.push(virtual(result[result.length - 1]!));
      }
    }
    if (token.tokenType === open) blocks.push({ token, column });
    else if (token.tokenType === close) blocks.pop();
    result.push(token);
  }
  while (balance > 0 && blocks.length > 0) {
    missing(blocks.pop()!, 'at the end');
    balance--;
    result.push(virtual(result[result.length - 1]!));
  }
  tokens.length = 0;
  for (const token of result) tokens.push(token);
}
