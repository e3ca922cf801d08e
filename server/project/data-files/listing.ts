/**
 * Listings for people, as programs print them: columns at fixed places or between white space, under titles and headers
 * that repeat on every page.
 */
import type { ColumnRange, FileFormat } from '../../model/declaration.js';
import { headerUnit } from '../../units/index.js';
import { ColumnsBuilder } from './columns.js';
import { numberReader } from './numbers.js';
import { cellsOf, isIgnored, readHeaders } from './separated.js';
import { count, type ColumnRequest, type ProblemList, type Table, type TableHeader } from './table.js';

/** A line that only draws: `------`, `=====`, `| + |`. */
const RULE = /^[\s\-=_*+|.:]*$/;
const FORM_FEED = '\f';

/** Whether a file is read as a listing. */
export function isListing({ separator, columns }: FileFormat): boolean {
  return separator === ' ' || columns.length > 0;
}

export class ListingReader {
  readonly stopped = false;
  private rest = '';
  private line = 0;
  private builder: ColumnsBuilder | undefined;
  /** Rows stand between a header and the next blank line or page. */
  private inBlock = false;
  private rowsInBlock = 0;
  /** What stands behind the texts of columns above the rows, since the last block. */
  private readonly titles = new Map<string, string>();
  private readonly inRows: readonly ColumnRequest[];
  private readonly above: readonly ColumnRequest[];
  /** Texts of the columns that have a header of their own, by which a header line is known. */
  private readonly headings: readonly string[];
  private readonly cellsOf: (line: string) => readonly string[];
  private readonly readNumber: (cell: string) => number;
  private cellCount: number | null = null;

  constructor(
    private readonly requests: readonly ColumnRequest[],
    private readonly format: FileFormat,
    private readonly problems: ProblemList,
  ) {
    this.inRows = requests.filter(({ above }) => !above);
    this.above = requests.filter(({ above }) => above);
    this.headings = this.inRows.flatMap(({ header }) => (header === undefined ? [] : [spaced(header)]));
    this.cellsOf = cellsIn(format);
    this.readNumber = numberReader(format);
  }

  read(piece: string): void {
    this.rest += piece;
    const lines = this.rest.split(/\r\n|\n|\r(?!$)/);
    this.rest = lines.pop()!;
    for (const line of lines) this.take(line);
  }

  *end(): Generator<undefined, Table | undefined> {
    if (this.rest !== '') this.take(this.rest.replace(/\r$/, ''));
    if (!this.builder) this.addNoBlock();
    return this.builder && (yield* this.builder.buildInSteps());
  }

  private take(text: string): void {
    this.line++;
    if (this.line <= this.format.skip) return;
    const isPage = text.startsWith(FORM_FEED);
    const line = isPage ? text.slice(1) : text;
    if (isPage || line.trim() === '') this.endBlock();
    if (isIgnored(line, this.format.ignore)) this.builder?.addIgnored(this.cellsOf(line));
    else if (!RULE.test(line) && !this.takeTitle(line)) this.takeLine(line);
  }

  private endBlock(): void {
    if (this.headings.length === 0 || this.rowsInBlock === 0) return;
    this.inBlock = false;
    this.titles.clear();
    this.rowsInBlock = 0;
  }

  /** `SUBCASE 3`: what stands behind the text of a column above the rows. */
  private takeTitle(line: string): boolean {
    if (this.inBlock && this.rowsInBlock > 0 && this.headings.length > 0) return false;
    let isTitle = false;
    for (const { name, header = name } of this.above) {
      const at = line.indexOf(header);
      if (at < 0) continue;
      const behind = /^\s*[:=]?\s*(\S+)/.exec(line.slice(at + header.length))?.[1];
      if (behind !== undefined) this.titles.set(name, behind);
      isTitle = true;
    }
    return isTitle;
  }

  private takeLine(line: string): void {
    if (this.headings.length > 0 && this.isHeader(line)) {
      this.builder ??= this.begin(line);
      this.inBlock = true;
      this.rowsInBlock = 0;
    } else if (this.inBlock || this.headings.length === 0) this.takeRow(line);
    else if (this.builder && this.looksLikeRow(line)) this.addRowOutside(line);
  }

  private isHeader(line: string): boolean {
    const text = spaced(line);
    return this.headings.every(heading => text.includes(heading));
  }

  private begin(line: string): ColumnsBuilder {
    const isByPlace = this.format.columns.length > 0;
    const cells = isByPlace ? this.inRows.map(({ name, header = name }) => header) : headerCells(line, this.headings);
    const headers = readHeaders([...cells, ...this.above.map(({ name, header = name }) => header)]);
    const layout = { headers, headerLine: this.line, format: this.format, separator: ' ' };
    if (!isByPlace) this.cellCount = cells.length;
    const places = new Map<ColumnRequest, TableHeader>();
    const first = headers.length - this.above.length;
    for (const [index, request] of this.above.entries()) places.set(request, headers[first + index]!);
    if (isByPlace) for (const [index, request] of this.inRows.entries()) places.set(request, headers[index]!);
    if (isByPlace && this.format.columns.length !== this.inRows.length) this.addCountProblem();
    const byHeader = isByPlace
      ? undefined
      : new Map(headers.slice(0, first).map(header => [spaced(header.text), header]));
    return new ColumnsBuilder(
      layout,
      this.requests.map(request => ({ ...request, kind: kindOf(request) })),
      this.problems,
      request => {
        const original = this.requests.find(({ name }) => name === request.name)!;
        return (
          places.get(original) ?? byHeader?.get(spaced(original.header ?? original.name)) ?? this.addMissing(original)
        );
      },
    );
  }

  private takeRow(line: string): void {
    this.builder ??= this.begin(line);
    const cells = this.cellsOf(line);
    const expected = (this.cellCount ??= cells.length);
    const isCut = this.addCuts(line);
    if (!isCut && this.isSeparated && cells.length !== expected) {
      const message = `Line ${this.line} has ${count(cells.length, 'cell')}, the others have ${expected}. Where cells are empty, say where the columns stand: \`columns 1..8, 9..16\`; where it is no row, say how it begins: \`ignore "…"\`.`;
      this.problems.add('ragged-row', message, { line: this.line });
      return;
    }
    this.rowsInBlock++;
    this.builder.addRow([...this.ofColumns(cells), ...this.above.map(({ name }) => this.title(name))], this.line);
  }

  private get isSeparated(): boolean {
    return this.format.columns[0]?.last == null;
  }

  private ofColumns(cells: readonly string[]): readonly string[] {
    const { columns } = this.format;
    return columns.length > 0 && this.isSeparated ? columns.map(({ first }) => cells[first - 1] ?? '') : cells;
  }

  private title(name: string): string {
    const title = this.titles.get(name);
    if (title !== undefined) return title;
    const { header = name } = this.above.find(each => each.name === name)!;
    const message = `No title with "${header}" stands above the rows from line ${this.line} on. Correct the text, or the file.`;
    this.problems.add('missing-title', message, { line: this.line, name });
    return '';
  }

  /** A number that stands across the end of its column. */
  private addCuts(line: string): boolean {
    const cut = this.format.columns.findIndex(
      ({ first, last }) => last !== null && (isInside(line, first - 1) || isInside(line, last)),
    );
    if (cut < 0) return false;
    const { first, last } = this.format.columns[cut]!;
    const message = `Characters ${first} to ${last} of line ${this.line} cut something in two: "${line.slice(first - 1, last!)}". Correct \`columns\`; where the line is no row, say how it begins: \`ignore "…"\`.`;
    this.problems.add('cut-cell', message, { line: this.line, column: cut + 1 });
    return true;
  }

  /** Whether all columns that hold numbers do so in a line; any, where only headers tell which do. */
  private looksLikeRow(line: string): boolean {
    const cells = this.cellsOf(line);
    if (this.isSeparated && cells.length !== this.cellCount) return false;
    const isNumber = (cell: string | undefined): boolean => !Number.isNaN(this.readNumber(cell ?? ''));
    if (this.format.columns.length === 0) return cells.some(isNumber);
    const placed = this.ofColumns(cells);
    const numbers = placed.filter((_, index) => kindOf(this.inRows[index]) === 'number');
    return numbers.length > 0 && numbers.every(isNumber);
  }

  private addRowOutside(line: string): void {
    const message = `Line ${this.line} looks like a row but stands below no header: "${line.trim().slice(0, 60)}". A blank line ends a table; take it out, or say how the line begins: \`ignore "…"\`.`;
    this.problems.add('row-outside', message, { line: this.line });
  }

  private addCountProblem(): void {
    const [places, columns] = [this.format.columns.length, this.inRows.length];
    const message = `The table names ${count(columns, 'column')}, and \`columns\` says where ${places} stand. Say it of each, in the same order.`;
    this.problems.add('missing-column', message, { cell: 'columns' });
  }

  private addMissing({ name, header = name }: ColumnRequest): undefined {
    const message = `No column is headed "${header}" in line ${this.line}. Where the header can't be told from its words, say which cells are meant: \`columns 1, 3\`.`;
    this.problems.add('missing-column', message, { line: this.line, cell: header, name });
  }

  private addNoBlock(): void {
    const wanted = this.headings.map(heading => `"${heading}"`).join(', ');
    const message =
      this.headings.length === 0
        ? 'The file holds no rows.'
        : `No line of the file holds the header${this.headings.length > 1 ? 's' : ''} ${wanted}. Correct them.`;
    this.problems.add('no-header', message);
  }
}

/** A listing's columns are known by what the project says of them. */
function kindOf(request: ColumnRequest | undefined): ColumnRequest['kind'] {
  return request?.kind ?? (request?.header !== undefined && headerUnit(request.header) ? 'number' : undefined);
}

function spaced(text: string): string {
  return text.trim().replace(/\s+/g, ' ');
}

/** Whether a word goes on across a place of a line. */
function isInside(line: string, at: number): boolean {
  return at > 0 && at < line.length && /\S/.test(line[at - 1]!) && /\S/.test(line[at]!);
}

function cellsIn({ separator, columns }: FileFormat): (line: string) => readonly string[] {
  if (columns.some(({ last }) => last !== null))
    return line => columns.map(({ first, last }: ColumnRange) => line.slice(first - 1, last!).trim());
  if (separator === null || separator === ' ') return line => line.trim().split(/\s+/);
  return line => cellsOf(line, separator).map(cell => cell.trim());
}

/** The cells of a header line: apart by two spaces where those tell the wanted ones, else by one. */
function headerCells(line: string, wanted: readonly string[]): readonly string[] {
  const wide = line.trim().split(/\s{2,}|\t/);
  return wanted.every(heading => wide.some(cell => spaced(cell) === heading)) ? wide : line.trim().split(/\s+/);
}
