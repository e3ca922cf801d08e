/** Files whose cells stand between separators (RFC 4180, leniently), cut into rows. */
import type { Parser } from 'papaparse';
import Papa from 'papaparse';
import type { FileFormat } from '../../model/declaration.js';
import { headerTitle } from '../../units/index.js';
import { ColumnsBuilder, matchesOf } from './columns.js';
import { count, megabytes, type ColumnRequest, type ProblemList, type Table, type TableHeader } from './table.js';

/** A row longer than this has lost its closing quote, or never had an end. */
const longestRow = 2 ** 20;
/** Lines below the first one in which a header is looked for, to say how many have to be skipped. */
const LINES_AHEAD = 40;
const SEPARATORS = [',', ';', '\t'];

interface Row {
  readonly cells: readonly string[];
  readonly line: number;
}

/** Turns pieces of text, cut anywhere, into a table. */
export class SeparatedReader {
  /** Set when reading on makes no sense. */
  stopped = false;
  private rest = '';
  private line = 1;
  private parser: Parser | undefined;
  private separator = ',';
  private builder: ColumnsBuilder | undefined;
  /** Words for a header that is not where it is looked for. */
  private headerBelow: number | null = null;

  constructor(
    private readonly requests: readonly ColumnRequest[],
    private readonly format: FileFormat,
    private readonly problems: ProblemList,
  ) {}

  read(piece: string): void {
    this.rest += piece;
    this.take(this.rows(false));
  }

  /** Undefined where no header was found. */
  *end(): Generator<undefined, Table | undefined> {
    if (!this.stopped) this.take(this.rows(true));
    return this.builder && (yield* this.builder.buildInSteps());
  }

  private take(rows: readonly Row[]): void {
    const { ignore } = this.format;
    for (const { cells, line } of rows) {
      if (cells.every(cell => cell.trim() === '')) continue;
      if (!this.builder) this.builder = this.begin(cells, line);
      else if (ignore.length > 0 && isIgnored(cells.join(this.separator), ignore)) this.builder.addIgnored(cells);
      else this.builder.addRow(cells, line);
    }
  }

  private begin(cells: readonly string[], headerLine: number): ColumnsBuilder {
    const layout = { headers: readHeaders(cells), headerLine, format: this.format, separator: this.separator };
    const below = this.headerBelow;
    if (below !== null) {
      const clause = `skip ${below - 1}`;
      const message = `Line ${headerLine} is read as the header, but line ${below} holds the columns of the table. Pass over what stands before it: \`${clause}\`.`;
      this.problems.add('missing-column', message, { line: headerLine, clause });
      return new ColumnsBuilder(layout, [], this.problems);
    }
    return new ColumnsBuilder(layout, this.requests, this.problems);
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

  /** Passes over what is no header; the header tells the separator. */
  private start(isLast: boolean): Parser | undefined {
    // A carriage return before a line feed is trimmed from the last cell; few files have carriage returns alone.
    const newline = this.rest.includes('\r') && !this.rest.includes('\n') ? '\r' : '\n';
    const { skip, ignore } = this.format;
    for (;;) {
      const end = this.rest.indexOf(newline);
      if (end < 0 && !isLast) {
        if (this.rest.length > longestRow) this.addEndlessLine();
        return undefined;
      }
      const line = end < 0 ? this.rest : this.rest.slice(0, end);
      if (this.line > skip && line.trim() !== '' && !isIgnored(line, ignore)) {
        this.separator = this.format.separator ?? this.separatorOf(line);
        if (this.foundIn(line, this.separator) === 0) this.headerBelow = this.lookBelow(newline);
        return new Papa.Parser({ delimiter: this.separator, newline });
      }
      if (end < 0) {
        this.addNoHeader();
        return undefined;
      }
      this.rest = this.rest.slice(end + 1);
      this.line++;
    }
  }

  /** The separator by which a line holds most of what is wanted, and then most cells. */
  private separatorOf(line: string): string {
    // A comma that is the decimal sign is the last to stand between cells.
    const candidates = this.format.decimal === ',' ? SEPARATORS.toReversed() : SEPARATORS;
    const scores = candidates.map(separator => ({
      separator,
      found: this.foundIn(line, separator),
      cells: unquoted(line).split(separator).length,
    }));
    return scores.reduce((best, each) =>
      each.found > best.found || (each.found === best.found && each.cells > best.cells) ? each : best,
    ).separator;
  }

  /** How many of the wanted columns a line heads. */
  private foundIn(line: string, separator: string): number {
    const headers = readHeaders(cellsOf(line, separator));
    return this.requests.filter(({ name, header = name }) => matchesOf(headers, header).length > 0).length;
  }

  /** A line below that holds all wanted columns. */
  private lookBelow(newline: string): number | null {
    const lines = this.rest.slice(0, longestRow).split(newline, LINES_AHEAD);
    const index = lines.findIndex(line =>
      (this.format.separator === null ? SEPARATORS : [this.format.separator]).some(
        separator => this.foundIn(line, separator) === this.requests.length,
      ),
    );
    return index < 0 ? null : this.line + index;
  }

  private addEndlessLine(): void {
    this.stopped = true;
    const message = `Line ${this.line} is longer than ${megabytes(longestRow)}: no header can be read. Write one row a line.`;
    this.problems.add('no-header', message, { line: this.line });
  }

  private addNoHeader(): void {
    const { skip } = this.format;
    const message =
      skip === 0
        ? 'The file is empty.'
        : `The file ends at line ${this.line} and ${count(skip, 'line')} are skipped: no header is left. Skip fewer lines.`;
    this.problems.add('no-header', message, { line: this.line });
  }

  private addQuoteProblem(code: 'MissingQuotes' | 'InvalidQuotes', line: number): void {
    const message =
      code === 'MissingQuotes'
        ? `A quoted cell that begins in line ${line} has no closing quote. Close it; a quote inside a quoted cell is written twice.`
        : `Line ${line} has a quote inside a quoted cell. Write it twice.`;
    this.problems.add('quote', message, { line });
  }
}

/** The cells of one line. */
export function cellsOf(line: string, separator: string): readonly string[] {
  return new Papa.Parser({ delimiter: separator, newline: '\n' }).parse(line, 0, false).data[0] ?? [];
}

/** Whether a line begins with something that the declaration says is no row. */
export function isIgnored(line: string, ignore: readonly string[]): boolean {
  const text = line.trimStart();
  return ignore.some(beginning => text.startsWith(beginning));
}

function unquoted(line: string): string {
  return line.replace(/"[^"]*"/g, '');
}

function lineBreaks(cells: readonly string[]): number {
  return cells.reduce((breaks, cell) => breaks + (cell.includes('\n') ? cell.split('\n').length - 1 : 0), 0);
}

export function readHeaders(cells: readonly string[]): TableHeader[] {
  return cells.map((cell, index) => {
    const text = cell.trim().normalize('NFC');
    return { text, title: headerTitle(text), unitBelow: null, column: index + 1 };
  });
}
