/**
 * The formatter: one layout for every file. Works on tokens and comments in their order, so nothing can get lost; the
 * tree only tells
 * where statements begin. A top-level statement with a syntax error stays as it is.
 */
import { ENDS_OPERAND } from '../language/index.js';
import type { AstNode } from 'langium';
import { canonicalUnitText } from '../units/index.js';
import { isDeclaration, isField, isFrom, type Declaration } from './generated/ast.js';
import { parseSound, tokenize } from './parser.js';
import { split } from './splitter.js';

/** Replaces the text from `start` to `end`. */
export interface FormatEdit {
  readonly start: number;
  readonly end: number;
  readonly text: string;
}

/** A block written on one line stays on one line up to this many columns, a trailing comment aside. */
const WIDTH = 120;
/** A table of more pairs is written one pair a line. */
const PAIRS_ON_ONE_LINE = 3;
const INDENT = 2;

export function formatText(text: string): string {
  let result = '';
  let end = 0;
  for (const edit of formatEdits(text)) {
    result += text.slice(end, edit.start) + edit.text;
    end = edit.end;
  }
  return result + text.slice(end);
}

/** What changes in `text`: sorted, disjoint, each as short as possible. */
export function formatEdits(text: string): FormatEdit[] {
  const edits = new Edits(text);
  // Mixed line ends become \n, whichever comes first: formatting again must not find another majority.
  const lineEnd = text.includes('\r\n') && !/(?<!\r)\n/.test(text) ? '\r\n' : '\n';
  // Byte-order marks say nothing, however many there are.
  const marks = /^\s*\uFEFF/.exec(text)?.[0].length ?? 0;
  edits.replace(0, marks, '');
  let end = marks;
  let last: Neighbour | undefined;
  for (const { text: content, start: offset } of split(text.slice(marks))) {
    const from = marks + offset;
    const elements = layOut(content) ?? [];
    for (const element of elements) {
      const start = from + element.start;
      if (element === elements[0]) element.breaks = last ? breaksIn(text.slice(end, start)) : 0;
      edits.replace(end, start, last ? spaceBefore(element, last, lineEnd) : '');
      end = from + element.end;
      edits.replace(start, end, element.text);
      last = element;
    }
    if (elements.length === 0) {
      end = from + content.length;
      last = LEFT_AS_IT_IS;
    }
  }
  if (last !== LEFT_AS_IT_IS) edits.replace(end, text.length, last ? lineEnd : '');
  return edits.all;
}

class Edits {
  readonly all: FormatEdit[] = [];

  constructor(private readonly source: string) {}

  replace(start: number, end: number, text: string): void {
    const old = this.source.slice(start, end);
    if (old === text) return;
    const last = this.all.at(-1);
    if (last?.end === start) {
      this.all[this.all.length - 1] = { start: last.start, end, text: last.text + text };
      return;
    }
    const shorter = Math.min(old.length, text.length);
    let before = 0;
    while (before < shorter && old[before] === text[before]) before++;
    let behind = 0;
    while (behind < shorter - before && old[old.length - 1 - behind] === text[text.length - 1 - behind]) behind++;
    this.all.push({ start: start + before, end: end - behind, text: text.slice(before, text.length - behind) });
  }
}

// ---- elements -------------------------------------------------------------------------------------------------------

const LINE_COMMENT = 'line comment';
const BLOCK_COMMENT = 'block comment';

/** A token or a comment with its place in the piece and in the new layout. */
interface Element {
  /** Name of the token's type, or one of the two above. */
  readonly kind: string;
  readonly start: number;
  readonly end: number;
  /** In its one spelling. */
  readonly text: string;
  /** Line ends before it: 0, 1, or 2 for a blank line. */
  breaks: number;
  /** Columns that its line is indented by. */
  indent: number;
  /** Index of the innermost bracket around it, or -1; for a closing bracket that of its opening one. */
  opener: number;
  /** For an opening bracket: index of the closing one. */
  closer: number;
  /** Begins a statement, an entry of a record, a row of a table. */
  item: boolean;
  /** For a sign: it has no left operand. */
  unary: boolean;
  /** For a closing bracket: the engineer wrote it on the line of its opening one. */
  flat: boolean;
}

/** As much of an element as the space behind it depends on. */
type Neighbour = Pick<Element, 'kind' | 'unary'>;
const LEFT_AS_IT_IS: Neighbour = { kind: 'a piece left as it is', unary: false };

function isComment({ kind }: Neighbour): boolean {
  return kind === LINE_COMMENT || kind === BLOCK_COMMENT;
}

function elementsOf(text: string): Element[] {
  const { tokens, comments } = tokenize(text);
  const element = (kind: string, start: number, end: number, spelling: string): Element => ({
    kind,
    start,
    end,
    text: spelling,
    breaks: 0,
    indent: 0,
    opener: -1,
    closer: -1,
    item: false,
    unary: false,
    flat: false,
  });
  const elements = [
    ...tokens.map(token =>
      element(
        token.tokenType.name,
        token.startOffset,
        token.endOffset! + 1,
        spellingOf(token.tokenType.name, token.image),
      ),
    ),
    ...comments.map(comment =>
      element(
        comment.text.startsWith('//') ? LINE_COMMENT : BLOCK_COMMENT,
        comment.start,
        comment.end,
        comment.text.trimEnd(),
      ),
    ),
  ];
  return elements.sort((a, b) => a.start - b.start);
}

/** The lexer has already given symbols their one spelling. */
function spellingOf(kind: string, image: string): string {
  if (kind === 'UNIT') return canonicalUnitText(image);
  return kind === 'TOLERANCE' ? limitsSpelling(image) : image;
}

/** `(+0.2,-0.0)mm` → `(+0.2, -0.0) mm`. */
function limitsSpelling(image: string): string {
  const close = image.indexOf(')');
  const withUnit = (number: string, unit: string): string =>
    unit === '' ? number : `${number} ${canonicalUnitText(unit)}`;
  const limits = image
    .slice(1, close)
    .replaceAll('−', '-')
    .split(',')
    .map(limit => {
      const [, sign, digits, unit] = /^\s*([+-])\s*(\d+(?:\.\d+)?(?:[eE][+-]?\d+)?)\s*(.*?)\s*$/.exec(limit)!;
      return withUnit(sign! + digits!, unit!);
    });
  return withUnit(`(${limits.join(', ')})`, image.slice(close + 1).trim());
}

/** Where each statement, record entry, table row begins. */
const ITEMS: Readonly<Record<string, string>> = {
  Document: 'statements',
  Block: 'statements',
  Record: 'entries',
  TableBy: 'rows',
  RecordType: 'fields',
};

function itemStarts(root: AstNode): Set<number> {
  const starts = new Set<number>();
  const stack: AstNode[] = [root];
  while (stack.length > 0) {
    const node = stack.pop()!;
    if (isDeclaration(node) && (node.keyword === 'results' || node.keyword === 'table'))
      for (const from of inputsOf(node)) starts.add(from.$cstNode!.offset);
    for (const [property, value] of Object.entries(node)) {
      if (property.startsWith('$')) continue;
      const below = (Array.isArray(value) ? value : [value]).filter(
        (child): child is AstNode => typeof child === 'object' && '$type' in child,
      );
      if (ITEMS[node.$type] === property) for (const child of below) starts.add(child.$cstNode!.offset);
      stack.push(...below);
    }
  }
  return starts;
}

/** `from` in a block of results tells of the whole block, although the grammar hangs it onto the field before. */
function inputsOf(results: Declaration): AstNode[] {
  const fields = results.block?.statements.filter(isField) ?? [];
  return fields.flatMap(field => field.value.suffixes.filter(isFrom));
}

// ---- layout ---------------------------------------------------------------------------------------------------------

/** The elements of one piece with breaks and indents, or nothing where the piece must stay as it is. */
function layOut(text: string): readonly Element[] | undefined {
  const sound = parseSound(text);
  if (!sound) return undefined;
  const elements = elementsOf(text);
  connect(elements, itemStarts(sound.document));
  keepBreaks(elements, text);
  do {
    breakAround(elements);
    indent(elements);
  } while (breakLongLines(elements));
  return meansTheSame(elements) ? elements : undefined;
}

const OPENING = new Set(['{', '(', '[']);
const CLOSING = new Set(['}', ')', ']']);
/** Finds brackets, items and signs. */
function connect(elements: readonly Element[], starts: ReadonlySet<number>): void {
  const open: number[] = [];
  let behindOperand = false;
  elements.forEach((element, i) => {
    const { kind } = element;
    element.opener = open.at(-1) ?? -1;
    if (isComment(element)) return;
    if (OPENING.has(kind)) open.push(i);
    else if (CLOSING.has(kind)) elements[open.pop()!]!.closer = i;
    element.item = starts.has(element.start);
    element.unary = (kind === '-' || kind === '+') && !behindOperand;
    behindOperand = ENDS_OPERAND.has(kind);
  });
}

/**
 * Takes over the engineer's line ends, but for blank lines in a row, blank lines beside brackets, and lines that begin
 * with `{` or `,`.
 */
function keepBreaks(elements: readonly Element[], text: string): void {
  elements.forEach((element, i) => {
    const previous = elements[i - 1];
    if (!previous) return;
    const { kind } = element;
    const joins = kind === '{' || kind === ',' || (kind === '}' && previous.kind === '{');
    const most = joins && previous.kind !== LINE_COMMENT ? 0 : CLOSING.has(kind) || OPENING.has(previous.kind) ? 1 : 2;
    element.breaks = Math.min(most, breaksIn(text.slice(previous.end, element.start)));
    element.flat = CLOSING.has(kind) && !spansLines(elements, element.opener, i);
  });
}

function breaksIn(space: string): number {
  return Math.min(2, space.split('\n').length - 1);
}

/** Whether there is a line end between two elements. */
function spansLines(elements: readonly Element[], from: number, to: number): boolean {
  for (let i = from; i < to; i++) if (elements[i]!.text.includes('\n') || elements[i + 1]!.breaks > 0) return true;
  return false;
}

/**
 * Breaks at both braces of a block that spans lines, at every pair of a long table, and behind a statement that spans
 * lines.
 */
function breakAround(elements: readonly Element[]): void {
  const lastItem = new Map<number, number>();
  elements.forEach((element, i) => {
    const { kind, opener } = element;
    if (element.item) {
      const previous = lastItem.get(opener);
      if (previous !== undefined && spansLines(elements, previous, i)) breakBeforeItem(elements, i);
      lastItem.set(opener, i);
    }
    if (kind !== '}' && kind !== ']') return;
    const isLongTable = pairsIn(elements, opener, i) > PAIRS_ON_ONE_LINE;
    if (isLongTable || (kind === '}' && spansLines(elements, opener, i)))
      openUp(elements, opener, i, isLongTable || element.flat);
  });
}

function pairsIn(elements: readonly Element[], open: number, close: number): number {
  return elements.slice(open, close).filter(({ kind, opener }) => kind === '->' && opener === open).length;
}

/** Breaks behind the opening bracket, before the closing one, and where asked before each item between them. */
function openUp(elements: readonly Element[], open: number, close: number, everyItem: boolean): void {
  breakBefore(elements[open + 1]!);
  breakBefore(elements[close]!);
  if (!everyItem) return;
  for (let i = open + 1; i < close; i++)
    if (elements[i]!.opener === open && beginsItem(elements, i)) breakBeforeItem(elements, i);
}

/** An item of a block or a record, or what follows the bracket or a comma of a list or a call. */
function beginsItem(elements: readonly Element[], i: number): boolean {
  const element = elements[i]!;
  if (isComment(element)) return false;
  if (element.opener < 0 || elements[element.opener]!.kind === '{') return element.item;
  let before = i - 1;
  while (isComment(elements[before]!)) before--;
  return before === element.opener || (elements[before]!.kind === ',' && elements[before]!.opener === element.opener);
}

/** A comment between two items on one line goes with the second. */
function breakBeforeItem(elements: readonly Element[], i: number): void {
  let first = i;
  while (elements[first]!.breaks === 0 && elements[first - 1]!.kind === BLOCK_COMMENT) first--;
  breakBefore(elements[first]!);
}

/** A comment that ends a line stays on it. */
function breakBefore(element: Element): void {
  if (element.kind !== LINE_COMMENT) element.breaks = Math.max(1, element.breaks);
}

/** On each line, opens up the outermost block that reaches beyond the width. Returns whether there was any. */
function breakLongLines(elements: readonly Element[]): boolean {
  const tooWide = new Map<number, number>(); // closing brace by the index that its line starts at
  let column = 0;
  let lineStart = 0;
  elements.forEach((element, i) => {
    const { kind, opener, text } = element;
    if (i === 0 || element.breaks > 0) {
      lineStart = i;
      column = element.indent;
    } else {
      column += gap(elements[i - 1]!, element).length;
    }
    column = text.includes('\n') ? text.length - text.lastIndexOf('\n') - 1 : column + text.length;
    if (kind !== '}' || column <= WIDTH || opener === i - 1 || spansLines(elements, opener, i)) return;
    const other = tooWide.get(lineStart);
    if (other === undefined || opener < elements[other]!.opener) tooWide.set(lineStart, i);
  });
  for (const close of tooWide.values()) openUp(elements, elements[close]!.opener, close, true);
  return tooWide.size > 0;
}

/** Two columns a level; four where a line goes on with what the line before began. */
function indent(elements: readonly Element[]): void {
  let line = 0;
  elements.forEach((element, i) => {
    if (i === 0 || element.breaks > 0) line = indentAt(elements, i);
    element.indent = line;
  });
}

function indentAt(elements: readonly Element[], start: number): number {
  let i = start;
  while (i < elements.length && isComment(elements[i]!)) i++;
  const element = elements[i];
  if (!element) return 0;
  const { kind, opener } = element;
  const bracket = elements[opener];
  if (CLOSING.has(kind)) return bracket!.indent + (i > start ? INDENT : 0);
  const base = bracket ? bracket.indent + INDENT : 0;
  const goesOn =
    !beginsItem(elements, i) && (bracket === undefined || bracket.kind === '{' || elements[opener + 1]!.breaks > 0);
  return goesOn ? base + INDENT : base;
}

function spaceBefore(element: Element, previous: Neighbour, lineEnd: string): string {
  return element.breaks > 0 ? lineEnd.repeat(element.breaks) + ' '.repeat(element.indent) : gap(previous, element);
}

const TIGHT_BEFORE = new Set([',', ')', ']', ':', '.', '^']);
const TIGHT_BEHIND = new Set(['(', '[', '#', '.', '^']);
const CALLABLE = new Set(['NAME', 'LABEL', 'STRING', ')', ']']);
const BETWEEN_ITEMS = '   ';

/** The space between two elements on one line. */
function gap(previous: Neighbour, next: Element): string {
  if (next.kind === LINE_COMMENT) return '  ';
  if (TIGHT_BEFORE.has(next.kind) || TIGHT_BEHIND.has(previous.kind) || previous.unary) return '';
  if ((next.kind === '(' || next.kind === '[') && CALLABLE.has(previous.kind)) return '';
  if (next.item && previous.kind !== '{' && previous.kind !== ',' && !isComment(previous)) return BETWEEN_ITEMS;
  return ' ';
}

/** Some words act by what stands around them: a layout that would be read differently is not taken. */
function meansTheSame(elements: readonly Element[]): boolean {
  const text = elements
    .map((element, i) => (i > 0 ? spaceBefore(element, elements[i - 1]!, '\n') : '') + element.text)
    .join('');
  const read = elementsOf(text);
  return (
    read.length === elements.length &&
    read.every(({ kind, text: spelling }, i) => kind === elements[i]!.kind && spelling === elements[i]!.text)
  );
}
