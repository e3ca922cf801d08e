import type { Parser } from 'papaparse';
import Papa from 'papaparse';
import type { CancellationToken } from '../base/index.js';
import { NEVER, nearest } from '../base/index.js';
import type { EncodingProblem } from './decode-text.js';
import { decodeInSteps } from './decode-text.js';

/** A column that is wanted. */
export interface ColumnRequest {
  /** Name under which the column is handed back. */
  readonly name: string;
  /** Its header, whole or without the unit in brackets; by default the name. */
  readonly header?: string;
  /** By default number where the header has a unit or every filled cell is a number, else text. */
  readonly kind?: 'number' | 'text';
}

export interface TableRequest {
  readonly columns: readonly ColumnRequest[];
  /** Lines before the header. */
  readonly skip?: number;
  /** Bytes above which a file is refused; default 256 MiB. */
  readonly sizeLimit?: number;
}

export interface TableHeader {
  /** As in the file, without outer spaces: "Fu [MPa]". */
  readonly text: string;
  /** Without the unit: "Fu". */
  readonly title: string;
  /** What stands in brackets at the end: "MPa". */
  readonly unit: string | null;
  /** One-based. */
  readonly column: number;
}

export type TableProblemKind =
  | 'too-large'
  | 'encoding'
  | 'no-header'
  | 'no-rows'
  | 'missing-column'
  | 'duplicate-header'
  | 'ragged-row'
  | 'quote'
  | 'empty-cell'
  | 'not-a-number'
  | 'decimal-comma';

/** The first of its kind in its column, with the number of all of them. */
export interface TableProblem {
  readonly kind: TableProblemKind;
  /** One-based line of the file; null where the file as a whole is meant. */
  readonly line: number | null;
  /** One-based; null where the whole line is meant. */
  readonly column: number | null;
  /** The offending cell as it stands. */
  readonly cell: string | null;
  readonly count: number;
  /** A whole sentence: what is wrong, where, which value, how to mend it. */
  readonly message: string;
}

export interface Table {
  readonly headers: readonly TableHeader[];
  readonly rowCount: number;
  /** By requested name; a column that is missing in the file is missing here. A cell without a number is NaN. */
  readonly columns: ReadonlyMap<string, Float64Array | readonly string[]>;
  /** One-based line on which each row begins. */
  readonly lines: Uint32Array;
  readonly problems: readonly TableProblem[];
}

const defaultSizeLimit = 256 * 2 ** 20;
/** Bytes read, or cells converted, between two pauses: some ten milliseconds. */
const bytesPerStep = 2 ** 17;
/** Different texts of a file that are kept to be shared. */
const MOST_KEPT = 10_000;
const cellsPerStep = 2 ** 14;
/** A row longer than this has lost its closing quote, or never had an end. */
const longestRow = 2 ** 20;
const number = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eEdD][+-]?\d+)?$/;
const decimalComma = /^[+-]?\d+(?:[. ]\d{3})*,\d+(?:[eEdD][+-]?\d+)?$/;

/** Reads comma-, semicolon- or tab-separated values in one go; undefined when cancelled. */
export function readTable(
  source: string | Uint8Array,
  request: TableRequest,
  token: CancellationToken = NEVER,
): Table | undefined {
  const steps = readTableInSteps(source, request);
  for (;;) {
    if (token.cancelled) return undefined;
    const step = steps.next();
    if (step.done) return step.value;
  }
}

/**
 * Reads comma-, semicolon- or tab-separated values (RFC 4180, leniently), pausing every ten milliseconds or so. Who
 * drives the steps decides when to go on, or to drop the work.
 */
export function* readTableInSteps(source: string | Uint8Array, request: TableRequest): Generator<undefined, Table> {
  const { columns, skip = 0, sizeLimit = defaultSizeLimit } = request;
  const problems = new ProblemList();
  if (source.length > sizeLimit) {
    problems.add(
      'too-large',
      null,
      null,
      null,
      `The file has ${megabytes(source.length)}, more than the ${megabytes(sizeLimit)} allowed. Keep the needed columns and rows only.`,
    );
    return emptyTable(problems);
  }
  const reader = new RowReader(skip, problems);
  let builder: TableBuilder | undefined;
  const pieces = piecesOf(source);
  for (let piece = pieces.next(); ; piece = pieces.next()) {
    if (piece.done && piece.value) {
      problems.add('encoding', piece.value.line, null, null, `The file ${piece.value.message}`);
      return emptyTable(problems);
    }
    for (const { cells, line } of piece.done ? reader.end() : reader.read(piece.value)) {
      if (isBlank(cells)) continue;
      if (builder) builder.addRow(cells, line);
      else builder = new TableBuilder(readHeaders(cells), columns, line, problems);
    }
    if (piece.done || reader.stopped) break;
    yield;
  }
  return builder ? yield* builder.buildInSteps() : emptyTable(problems);
}

function* piecesOf(source: string | Uint8Array): Generator<string, EncodingProblem | undefined> {
  if (typeof source !== 'string') return yield* decodeInSteps(source, bytesPerStep);
  const text = source.replace(/^\ufeff/, '');
  for (let start = 0; start < text.length; start += bytesPerStep) yield text.slice(start, start + bytesPerStep);
  return undefined;
}

interface Row {
  readonly cells: readonly string[];
  readonly line: number;
}

/** Turns pieces of text, cut anywhere, into rows. */
class RowReader {
  /** Set when reading on makes no sense. */
  stopped = false;
  private rest = '';
  private line = 1;
  private parser: Parser | undefined;

  constructor(
    private readonly skip: number,
    private readonly problems: ProblemList,
  ) {}

  read(piece: string): Row[] {
    this.rest += piece;
    return this.rows(false);
  }

  end(): Row[] {
    return this.rows(true);
  }

  private rows(isLast: boolean): Row[] {
    this.parser ??= this.start(isLast);
    if (!this.parser) return [];
    const { data, errors, meta } = this.parser.parse(this.rest, 0, !isLast);
    const quoted = this.rest.includes('"');
    const rows = data.map(cells => {
      const row = { cells, line: this.line };
      this.line += 1 + (quoted ? lineBreaks(cells) : 0);
      return row;
    });
    // An error in a row that is not whole yet is found again when it is.
    for (const { code, row } of errors) {
      const whole = rows[row];
      if (whole) this.addQuoteProblem(code, whole.line);
    }
    this.rest = this.rest.slice(meta.cursor);
    if (this.rest.length > longestRow) {
      this.addQuoteProblem('MissingQuotes', this.line);
      this.stopped = true;
    }
    return rows;
  }

  /** Passes over the skipped and the blank lines to the header, which tells the separator. */
  private start(isLast: boolean): Parser | undefined {
    // A carriage return before a line feed is trimmed from the last cell; few files have carriage returns alone.
    const newline = this.rest.includes('\r') && !this.rest.includes('\n') ? '\r' : '\n';
    for (;;) {
      const end = this.rest.indexOf(newline);
      if (end < 0 && !isLast) {
        if (this.rest.length > longestRow) this.addEndlessLine();
        return undefined;
      }
      const line = end < 0 ? this.rest : this.rest.slice(0, end);
      if (this.line > this.skip && line.trim() !== '')
        return new Papa.Parser({ delimiter: delimiterOf(line), newline });
      if (end < 0) {
        this.addNoHeader();
        return undefined;
      }
      this.rest = this.rest.slice(end + 1);
      this.line++;
    }
  }

  private addEndlessLine(): void {
    this.stopped = true;
    const message = `Line ${this.line} is longer than ${megabytes(longestRow)}: no header can be read. Write one row a line.`;
    this.problems.add('no-header', this.line, null, null, message);
  }

  private addNoHeader(): void {
    const message =
      this.skip === 0
        ? 'The file is empty.'
        : `The file ends at line ${this.line} and ${count(this.skip, 'line')} are skipped: no header is left. Skip fewer lines.`;
    this.problems.add('no-header', this.line, null, null, message);
  }

  private addQuoteProblem(code: 'MissingQuotes' | 'InvalidQuotes', line: number): void {
    const message =
      code === 'MissingQuotes'
        ? `A quoted cell that begins in line ${line} has no closing quote. Close it; a quote inside a quoted cell is written twice.`
        : `Line ${line} has a quote inside a quoted cell. Write it twice.`;
    this.problems.add('quote', line, null, null, message);
  }
}

/** The separator that the header line holds most often outside quotes. */
function delimiterOf(line: string): string {
  const unquoted = line.replace(/"[^"]*"/g, '');
  const counts = [',', ';', '\t'].map(delimiter => ({ delimiter, count: unquoted.split(delimiter).length }));
  return counts.reduce((best, each) => (each.count > best.count ? each : best)).delimiter;
}

function lineBreaks(cells: readonly string[]): number {
  return cells.reduce((breaks, cell) => breaks + (cell.includes('\n') ? cell.split('\n').length - 1 : 0), 0);
}

function isBlank(cells: readonly string[]): boolean {
  return cells.every(cell => cell.trim() === '');
}

function readHeaders(cells: readonly string[]): TableHeader[] {
  return cells.map((cell, index) => {
    const text = cell.trim();
    const [, title, unit] = /^(.*?)\s*\[([^[\]]*)\]$/s.exec(text) ?? [text, text, ''];
    return { text, title, unit: unit.trim() || null, column: index + 1 };
  });
}

/** A requested column that the file has: numbers as they come, or cells of which the last one decides what they are. */
interface ColumnInProgress {
  readonly name: string;
  readonly header: TableHeader;
  readonly kind: 'number' | 'text' | undefined;
  readonly numbers: GrowingNumbers;
  readonly cells: string[];
}

class TableBuilder {
  private readonly columns: readonly ColumnInProgress[];
  private readonly lines = new GrowingNumbers();
  /** Rows whose cells can't be told apart; their numbers are not to be trusted. */
  private readonly shifted = new Set<number>();

  constructor(
    private readonly headers: readonly TableHeader[],
    requests: readonly ColumnRequest[],
    private readonly headerLine: number,
    private readonly problems: ProblemList,
  ) {
    this.columns = requests.flatMap(request => {
      const header = this.find(request.header ?? request.name);
      if (!header) return [];
      const kind = request.kind ?? (header.unit === null ? undefined : 'number');
      return [{ name: request.name, header, kind, numbers: new GrowingNumbers(), cells: [] }];
    });
  }

  addRow(cells: readonly string[], line: number): void {
    const row = this.lines.length;
    this.lines.push(line);
    if (cells.length !== this.headers.length) this.checkLength(cells, row, line);
    for (const column of this.columns) {
      const cell = (cells[column.header.column - 1] ?? '').trim();
      if (column.kind === 'number') column.numbers.push(this.numberOf(cell, column.header, row));
      else column.cells.push(this.kept(cell));
    }
  }

  /** Keys recur: one text serves all rows that say the same. */
  private kept(cell: string): string {
    const known = this.texts.get(cell);
    if (known !== undefined) return known;
    if (this.texts.size < MOST_KEPT) this.texts.set(cell, cell);
    return cell;
  }

  private readonly texts = new Map<string, string>();

  *buildInSteps(): Generator<undefined, Table> {
    const rowCount = this.lines.length;
    if (rowCount === 0)
      this.problems.add(
        'no-rows',
        this.headerLine,
        null,
        null,
        `The table ends with its header in line ${this.headerLine}: no rows follow.`,
      );
    const columns = new Map<string, Float64Array | readonly string[]>();
    for (const column of this.columns) columns.set(column.name, yield* this.valuesInSteps(column));
    return {
      headers: this.headers,
      rowCount,
      columns,
      lines: new Uint32Array(this.lines.values()),
      problems: this.problems.list(),
    };
  }

  private *valuesInSteps({
    header,
    kind,
    numbers,
    cells,
  }: ColumnInProgress): Generator<undefined, Float64Array | readonly string[]> {
    if (kind === undefined && (yield* looksNumericInSteps(cells))) {
      for (const [row, cell] of cells.entries()) {
        numbers.push(this.numberOf(cell, header, row));
        if (row % cellsPerStep === 0) yield;
      }
      return numbers.values();
    }
    return kind === 'number' ? numbers.values() : cells;
  }

  private find(wanted: string): TableHeader | undefined {
    const whole = this.headers.filter(header => header.text === wanted);
    const matches = whole.length > 0 ? whole : this.headers.filter(header => header.title === wanted);
    if (matches.length === 0) this.addMissing(wanted);
    const [first, second] = matches;
    if (second) {
      const places = matches.map(match => match.column).join(' and ');
      this.problems.add(
        'duplicate-header',
        this.headerLine,
        second.column,
        wanted,
        `The header "${wanted}" stands over columns ${places}; the first is read. Give each column its own header.`,
      );
    }
    return first;
  }

  private addMissing(wanted: string): void {
    const texts = this.headers.map(header => header.text).filter(Boolean);
    const near =
      nearest(wanted, texts) ?? this.headers.find(header => header.title.toLowerCase() === wanted.toLowerCase())?.text;
    const mend =
      near === undefined
        ? `The header has ${texts
            .slice(0, 12)
            .map(text => `"${text}"`)
            .join(', ')}${texts.length > 12 ? ', …' : ''}.`
        : `Did you mean "${near}"?`;
    this.problems.add(
      'missing-column',
      this.headerLine,
      null,
      wanted,
      `No column is headed "${wanted}" in line ${this.headerLine}. ${mend}`,
    );
  }

  private checkLength(cells: readonly string[], row: number, line: number): void {
    const expected = this.headers.length;
    if (cells.length > expected && isBlank(cells.slice(expected))) return;
    if (cells.length > expected) this.shifted.add(row);
    const mend =
      cells.length > expected
        ? 'Quote cells that hold the separator; write decimals with a point.'
        : 'Fill in the missing cells.';
    this.problems.add(
      'ragged-row',
      line,
      null,
      null,
      `Line ${line} has ${count(cells.length, 'cell')}, the header ${expected}. ${mend}`,
    );
  }

  private numberOf(cell: string, header: TableHeader, row: number): number {
    if (this.shifted.has(row)) return NaN;
    const value = readNumber(cell);
    if (Number.isNaN(value)) this.addBadNumber(cell, header, this.lines.at(row));
    return value;
  }

  private addBadNumber(cell: string, { text, column }: TableHeader, line: number): void {
    const place = `line ${line}, column "${text}"`;
    if (cell === '') {
      this.problems.add(
        'empty-cell',
        line,
        column,
        '',
        `The cell in ${place}, is empty where a number is due. Fill it in, or leave the row out.`,
      );
    } else if (decimalComma.test(cell)) {
      this.problems.add(
        'decimal-comma',
        line,
        column,
        cell,
        `"${cell}" in ${place}, has a decimal comma. Export the file with a decimal point.`,
      );
    } else {
      this.problems.add(
        'not-a-number',
        line,
        column,
        cell,
        `"${cell}" in ${place}, is not a number. Write a plain decimal number such as 402.5 or 4.025e2.`,
      );
    }
  }
}

function* looksNumericInSteps(cells: readonly string[]): Generator<undefined, boolean> {
  let filled = 0;
  for (const [row, cell] of cells.entries()) {
    if (row % cellsPerStep === 0) yield;
    if (cell === '') continue;
    if (!number.test(cell) && !decimalComma.test(cell)) return false;
    filled++;
  }
  return filled > 0;
}

/** NaN for anything but a plain decimal number that a double can hold; `D` exponents are Fortran's. */
function readNumber(cell: string): number {
  if (!number.test(cell)) return NaN;
  const value = Number(cell.replace(/[dD]/, 'e'));
  return Number.isFinite(value) ? value : NaN;
}

/** A list of doubles that doubles its room. */
class GrowingNumbers {
  private room = new Float64Array(1024);
  length = 0;

  push(value: number): void {
    if (this.length === this.room.length) {
      const wider = new Float64Array(this.length * 2);
      wider.set(this.room);
      this.room = wider;
    }
    this.room[this.length++] = value;
  }

  at(index: number): number {
    return this.room[index]!;
  }

  values(): Float64Array {
    return this.room.slice(0, this.length);
  }
}

/** Problems by kind and column: the first of each is told, the others counted. */
class ProblemList {
  private readonly problems = new Map<string, TableProblem>();

  add(kind: TableProblemKind, line: number | null, column: number | null, cell: string | null, message: string): void {
    const key = kind === 'missing-column' ? `${kind} ${cell}` : `${kind} ${column}`;
    const known = this.problems.get(key);
    this.problems.set(
      key,
      known ? { ...known, count: known.count + 1 } : { kind, line, column, cell, count: 1, message },
    );
  }

  list(): TableProblem[] {
    return [...this.problems.values()].map(problem =>
      problem.count === 1
        ? problem
        : { ...problem, message: `${problem.message} (${problem.count - 1} more like it.)` },
    );
  }
}

function emptyTable(problems: ProblemList): Table {
  return { headers: [], rowCount: 0, columns: new Map(), lines: new Uint32Array(), problems: problems.list() };
}

function megabytes(bytes: number): string {
  return `${Math.ceil(bytes / 2 ** 20)} MiB`;
}

function count(amount: number, noun: string): string {
  return `${amount} ${noun}${amount === 1 ? '' : 's'}`;
}
