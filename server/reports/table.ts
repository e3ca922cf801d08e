/** A cell's text, each line wrapped on its own, and how to paint what is printed of it. */
export interface Cell {
  readonly text: string;
  readonly paint?: (printed: string) => string;
}

export interface Column {
  readonly title: string;
  readonly align?: 'left' | 'right';
}

const gap = '  ';
const narrowest = 4;

/**
 * Lays out a table no wider than `width` characters (as far as that leaves each column four). Long cells wrap between
 * words, never between a number and its unit, inside a dotted name or a path where they must, and anywhere else only
 * where nothing else helps; nothing is cut.
 */
export function layoutTable(columns: readonly Column[], rows: readonly (readonly Cell[])[], width: number): string[] {
  return layoutTables(columns, [rows], width).flat();
}

/** Tables of the same columns with the same widths. */
export function layoutTables(
  columns: readonly Column[],
  tables: readonly (readonly (readonly Cell[])[])[],
  width: number,
): string[][] {
  const widths = columnWidths(columns, tables.flat(), width);
  const layout = (cells: readonly Cell[]) => layoutRow(cells, columns, widths);
  return tables.map(rows => [
    ...layout(columns.map(column => ({ text: column.title }))),
    widths.map(each => '-'.repeat(each)).join(gap),
    ...rows.flatMap(layout),
  ]);
}

/** Breaks each line of `text` into pieces no wider than `width`, at spaces where it can. */
export function wrap(text: string, width: number): string[] {
  return text.split('\n').flatMap(line => wrapLine(line, Math.max(width, 1)));
}

/** Columns a terminal gives `text`: combining marks take none, East Asian wide characters two. */
export function displayWidth(text: string): number {
  if (/^[\x20-\x7e]*$/.test(text)) return text.length;
  let width = 0;
  for (const character of text) width += /\p{M}/u.test(character) ? 0 : isWide(character.codePointAt(0)!) ? 2 : 1;
  return width;
}

function isWide(codePoint: number): boolean {
  return (
    (codePoint >= 0x1100 && codePoint <= 0x115f) ||
    (codePoint >= 0x2e80 && codePoint <= 0xa4cf) ||
    (codePoint >= 0xac00 && codePoint <= 0xd7a3) ||
    (codePoint >= 0xf900 && codePoint <= 0xfaff) ||
    (codePoint >= 0xff00 && codePoint <= 0xff60) ||
    (codePoint >= 0x1f300 && codePoint <= 0x1faff)
  );
}

/**
 * Natural widths, taken from the widest column until the table fits: first down to its longest word, then to the
 * longest piece of a dotted name or a path, then further.
 */
function columnWidths(columns: readonly Column[], rows: readonly (readonly Cell[])[], width: number): number[] {
  const texts = columns.map(({ title }, index) => [title, ...rows.map(row => row[index]?.text ?? '')]);
  const widths = texts.map(each => widest(each.flatMap(text => text.split('\n'))));
  const words = texts.map(each => each.flatMap(wordsOf));
  const pieces = words.map(each => each.flatMap(word => word.split(BREAKS)));
  const available = width - gap.length * (columns.length - 1);
  for (const floors of [words.map(widest), pieces.map(widest), columns.map(() => narrowest)]) {
    while (sum(widths) > available) {
      const index = indexOfWidest(widths, floors);
      if (index < 0) break;
      widths[index]! -= 1;
    }
  }
  return widths;
}

/** What cannot be broken well: words, the first of a line with its indent. */
function wordsOf(text: string): string[] {
  return text.split('\n').flatMap(line => {
    const indent = line.length - line.trimStart().length;
    return glued(line.trim()).map((word, index) => (index === 0 ? ' '.repeat(indent) + word : word));
  });
}

/** Where names and paths may be broken. */
const BREAKS = /(?<=\p{L}\.|\/)/u;

const NUMBER = /^[(<>=+−-]*\d[\d.,]*(?:e[+-]?\d+)?$/;

/** Words of a line; a number with the unit behind it is one, and so is a comparison with its number. */
function glued(line: string): string[] {
  const words: string[] = [];
  for (const word of line.split(/\s+/)) {
    const before = words.at(-1)?.split(' ').at(-1) ?? '';
    if (/^[<>]=?$/.test(before) || (NUMBER.test(before) && /^[%°\p{L}]/u.test(word)))
      words[words.length - 1] += ` ${word}`;
    else words.push(word);
  }
  return words;
}

function indexOfWidest(widths: readonly number[], floors: readonly number[]): number {
  let found = -1;
  widths.forEach((width, index) => {
    if (width > floors[index]! && width > (widths[found] ?? 0)) found = index;
  });
  return found;
}

function layoutRow(cells: readonly Cell[], columns: readonly Column[], widths: readonly number[]): string[] {
  const pieces = columns.map((column, index) => {
    const cell = cells[index] ?? { text: '' };
    const width = widths[index]!;
    return { cell, column, width, lines: wrap(cell.text, width) };
  });
  const height = Math.max(...pieces.map(({ lines }) => lines.length));
  return Array.from({ length: height }, (_, line) =>
    pieces
      .map(({ lines, cell, column, width }) => layoutPiece(lines[line] ?? '', cell, column, width))
      .join(gap)
      .trimEnd(),
  );
}

function layoutPiece(piece: string, cell: Cell, column: Column, width: number): string {
  const padding = ' '.repeat(Math.max(width - displayWidth(piece), 0));
  const printed = cell.paint && piece ? cell.paint(piece) : piece;
  return column.align === 'right' ? padding + printed : printed + padding;
}

function wrapLine(line: string, width: number): string[] {
  if (displayWidth(line) <= width) return [line];
  const text = line.trimStart();
  const indent = line.slice(0, Math.min(line.length - text.length, Math.floor(width / 2)));
  const [first = '', ...words] = glued(text.trimEnd());
  const [head, ...rest] = breakWord(first, width - indent.length);
  const pieces = [indent + head];
  for (const word of [...rest, ...words].flatMap(each => breakWord(each, width))) {
    const candidate = `${pieces.at(-1)} ${word}`;
    if (displayWidth(candidate) > width) pieces.push(word);
    else pieces[pieces.length - 1] = candidate;
  }
  return pieces;
}

/** A number leaves its unit only where both have no room; names and paths break behind a dot or a slash. */
function breakWord(word: string, width: number): string[] {
  if (displayWidth(word) <= width) return [word];
  const space = word.indexOf(' ');
  if (space > 0) return [word.slice(0, space), word.slice(space + 1)].flatMap(each => breakWord(each, width));
  let end = 0;
  let taken = 0;
  for (const character of word) {
    const next = taken + displayWidth(character);
    if (next > width && end > 0) break;
    end += character.length;
    taken = next;
  }
  const at = Math.max(word.lastIndexOf('.', end - 1), word.lastIndexOf('/', end - 1));
  const cut = at > 0 ? at + 1 : end;
  return [word.slice(0, cut), ...breakWord(word.slice(cut), width)];
}

function widest(texts: readonly string[]): number {
  return texts.reduce((most, text) => Math.max(most, displayWidth(text)), 0);
}

function sum(numbers: readonly number[]): number {
  return numbers.reduce((total, each) => total + each, 0);
}
