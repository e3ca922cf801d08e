/** The wanted columns of a file, filled a row at a time. */
import type { FileFormat } from '../../model/declaration.js';
import { nearest } from '../../base/index.js';
import { headerUnit } from '../../units/index.js';
import { explainNumber, hasComma, hasPointGroups, numberReader } from './numbers.js';
import {
  count,
  type ColumnRequest,
  type ProblemList,
  type Table,
  type TableColumn,
  type TableHeader,
} from './table.js';

/** Cells converted between two pauses: some ten milliseconds. */
const cellsPerStep = 2 ** 14;
/** Different texts of a file that are kept to be shared. */
const MOST_KEPT = 10_000;
/** What the first cell of a line says that sums the others up. */
const SUMMARY =
  /^(?:mean|average|avg\.?|median|sum|(?:sub)?total|st\.? ?dev\.?|std\.?(?: ?dev\.?)?|standard deviation|cv|cov|minimum|maximum|min\.?|max\.?|mittelwert|durchschnitt|summe|standardabweichung|moyenne|media|promedio)\s*[:=]?$/i;
/** The beginning of a line that only people read; what a spreadsheet writes for an error begins with # as well. */
const COMMENT = /^(#(?!N\/A|DIV\/0|VALUE|REF|NAME|NUM|NULL)|\/\/|%(?!$)|!)/;
const INTEGER = /^\d{1,6}$/;

/** A requested column that the file has: numbers as they come, or cells of which the last one decides what they are. */
interface ColumnInProgress {
  readonly name: string;
  readonly header: TableHeader;
  readonly kind: 'number' | 'text' | undefined;
  readonly numbers: GrowingNumbers;
  readonly cells: string[];
  /** The first cell with a comma in it, and its line. */
  comma: { readonly cell: string; readonly line: number; count: number } | null;
  /** Cells like `1.250`, and numbers that are not like it. */
  pointGroups: number;
  otherNumbers: number;
}

/**
 * The cell behind a number, of a column that nobody asked for: where it holds digits here and nothing there, a decimal
 * comma may have cut the number in two.
 */
interface Watched {
  readonly column: ColumnInProgress;
  digits: { readonly left: string; readonly right: string; readonly line: number } | null;
  empty: boolean;
}

export interface Layout {
  readonly headers: readonly TableHeader[];
  readonly headerLine: number;
  readonly format: FileFormat;
  /** What stands between cells. */
  readonly separator: string;
}

export class ColumnsBuilder {
  private readonly columns: readonly ColumnInProgress[];
  private readonly lines = new GrowingNumbers();
  /** Rows whose cells can't be told apart; their numbers are not to be trusted. */
  private readonly shifted = new Set<number>();
  private readonly readNumber: (cell: string) => number;
  private readonly missing: ReadonlySet<string>;
  private readonly nameless: readonly TableHeader[];
  private readonly named: ReadonlySet<number>;
  private watched: Watched[];
  private readonly countsGroups: boolean;
  private readonly texts = new Map<string, string>();

  constructor(
    private readonly layout: Layout,
    requests: readonly ColumnRequest[],
    private readonly problems: ProblemList,
    find = (request: ColumnRequest): TableHeader | undefined => this.find(request.header ?? request.name),
  ) {
    const { format, headers, separator } = layout;
    this.readNumber = numberReader(format);
    this.missing = new Set(format.missing);
    this.columns = requests.flatMap(request => {
      const header = find(request);
      if (!header) return [];
      const kind = request.kind ?? (headerUnit(header.text) === null ? undefined : 'number');
      const empty = { comma: null, pointGroups: 0, otherNumbers: 0 };
      return [{ name: request.name, header, kind, numbers: new GrowingNumbers(), cells: [], ...empty }];
    });
    this.named = new Set(this.columns.map(({ header }) => header.column));
    this.nameless = headers.filter(({ text, column }) => text === '' && !this.named.has(column));
    // No comma can be the decimal sign where commas stand between cells, and programs print points.
    this.countsGroups = ![',', ' '].includes(separator) && format.decimal === null && format.thousands === null;
    this.watched =
      separator === ',' && format.decimal === null
        ? this.columns
            .filter(({ kind, header }) => kind === 'number' && !this.named.has(header.column + 1))
            .map(column => ({ column, digits: null, empty: false }))
        : [];
  }

  addRow(cells: readonly string[], line: number): void {
    if (this.isNoRow(cells, line)) return;
    const row = this.lines.length;
    this.lines.push(line);
    if (cells.length !== this.layout.headers.length) this.checkLength(cells, row, line);
    if (this.nameless.length > 0) this.checkNameless(cells, line);
    if (this.watched.length > 0) this.watch(cells, line);
    for (const column of this.columns) {
      const cell = (cells[column.header.column - 1] ?? '').trim();
      if (column.kind === 'number') column.numbers.push(this.numberOf(cell, column, row));
      else column.cells.push(this.kept(cell.normalize('NFC')));
    }
  }

  get isEmpty(): boolean {
    return this.lines.length === 0;
  }

  /** A line that is to be ignored. Directly below the header it may hold the units. */
  addIgnored(cells: readonly string[]): void {
    if (!this.isEmpty) return;
    for (const column of this.columns) {
      const cell = (cells[column.header.column - 1] ?? '').trim();
      if (isUnitText(cell)) (column as { header: TableHeader }).header = { ...column.header, unitBelow: cell };
    }
  }

  *buildInSteps(): Generator<undefined, Table> {
    const rowCount = this.lines.length;
    const { headerLine } = this.layout;
    if (rowCount === 0)
      this.problems.add('no-rows', `The table ends with its header in line ${headerLine}: no rows follow.`, {
        line: headerLine,
      });
    const columns = new Map<string, TableColumn>();
    for (const column of this.columns)
      columns.set(column.name, { header: column.header, values: yield* this.valuesInSteps(column) });
    for (const watched of this.watched) this.tellSplit(watched);
    for (const column of this.columns) this.tellCommas(column);
    return { rowCount, columns, lines: new Uint32Array(this.lines.values()), problems: this.problems.list() };
  }

  private *valuesInSteps(column: ColumnInProgress): Generator<undefined, Float64Array | readonly string[]> {
    const { kind, numbers, cells } = column;
    if (kind === undefined && (yield* this.looksNumericInSteps(cells))) {
      for (const [row, cell] of cells.entries()) {
        numbers.push(this.numberOf(cell, column, row));
        if (row % cellsPerStep === 0) yield;
      }
      return numbers.values();
    }
    return kind === 'number' ? numbers.values() : cells;
  }

  private *looksNumericInSteps(cells: readonly string[]): Generator<undefined, boolean> {
    let filled = 0;
    for (const [row, cell] of cells.entries()) {
      if (row % cellsPerStep === 0) yield;
      if (cell === '' || this.missing.has(cell)) continue;
      if (Number.isNaN(this.readNumber(cell)) && !hasComma(cell)) return false;
      filled++;
    }
    return filled > 0;
  }

  /** Keys recur: one text serves all rows that say the same. */
  private kept(cell: string): string {
    const known = this.texts.get(cell);
    if (known !== undefined) return known;
    if (this.texts.size < MOST_KEPT) this.texts.set(cell, cell);
    return cell;
  }

  // ---- headers ------------------------------------------------------------------------------------------------------

  private find(wanted: string): TableHeader | undefined {
    const { headers, headerLine: line } = this.layout;
    const matches = matchesOf(headers, wanted);
    if (matches.length === 0) this.addMissing(wanted);
    const [first, second] = matches;
    if (second) {
      const places = matches.map(match => match.column).join(' and ');
      this.problems.add(
        'duplicate-header',
        `The header "${wanted}" stands over columns ${places}; the first is read. Give each column its own header.`,
        { line, column: second.column, cell: wanted },
      );
    }
    return first;
  }

  private addMissing(wanted: string): void {
    const { headers, headerLine: line } = this.layout;
    const texts = headers.map(header => header.text).filter(Boolean);
    const near =
      nearest(wanted, texts) ?? headers.find(header => header.title.toLowerCase() === wanted.toLowerCase())?.text;
    const listed = texts.slice(0, 12).map(text => `"${text}"`);
    const mend =
      near === undefined
        ? `The header has ${listed.join(', ')}${texts.length > 12 ? ', …' : ''}.`
        : `Did you mean "${near}"?`;
    this.problems.add('missing-column', `No column is headed "${wanted}" in line ${line}. ${mend}`, {
      line,
      cell: wanted,
    });
  }

  // ---- rows ---------------------------------------------------------------------------------------------------------

  /** Comments, units and sums among the rows are told and left out. */
  private isNoRow(cells: readonly string[], line: number): boolean {
    const index = cells.findIndex(cell => cell.trim() !== '');
    const first = cells[index]?.trim() ?? '';
    const code = first.charCodeAt(0);
    // Most lines begin with a digit, a sign or a longer name.
    if ((code >= 43 && code <= 57 && code !== 47) || first.length > 40) return false;
    const isNamed = this.columns.some(({ header, kind }) => header.column === index + 1 && kind !== 'number');
    const comment = isNamed ? undefined : COMMENT.exec(first)?.[1];
    if (comment !== undefined) {
      this.addNoRow(`Line ${line} begins with "${comment}" and looks like a comment.`, comment, line);
      return true;
    }
    if (SUMMARY.test(first)) {
      const clause = `ignore "${first}"`;
      const message = `Line ${line} is headed "${first}" and looks like a sum of the others. Leave it out: \`${clause}\`.`;
      this.problems.add(isNamed ? 'named-summary' : 'summary-row', message, { line, cell: first, clause });
      return false;
    }
    if (!this.isEmpty || !this.holdsUnits(cells)) return false;
    const beginning = cells
      .slice(0, index + 1)
      .join(this.layout.separator)
      .trim();
    this.addNoRow(`Line ${line} looks like the units of the columns.`, beginning, line);
    return true;
  }

  private addNoRow(message: string, beginning: string, line: number): void {
    const clause = `ignore "${beginning}"`;
    this.problems.add('not-a-row', `${message} Pass over it: \`${clause}\`.`, { line, cell: beginning, clause });
  }

  private holdsUnits(cells: readonly string[]): boolean {
    const numbers = this.columns.filter(({ kind }) => kind === 'number');
    const written = numbers.map(({ header }) => (cells[header.column - 1] ?? '').trim()).filter(Boolean);
    return written.some(cell => cell !== '-') && written.every(isUnitText);
  }

  private checkLength(cells: readonly string[], row: number, line: number): void {
    const expected = this.layout.headers.length;
    const isTooLong = cells.length > expected;
    if (isTooLong && cells.slice(expected).every(cell => cell.trim() === '')) return;
    if (isTooLong) this.shifted.add(row);
    const mend = !isTooLong
      ? 'Fill in the missing cells.'
      : this.layout.separator === ','
        ? 'Quote cells that hold the separator; where a comma is the decimal sign, export with semicolons and say `decimal ","`.'
        : 'Quote cells that hold the separator.';
    this.problems.add(
      'ragged-row',
      `Line ${line} has ${count(cells.length, 'cell')}, the header ${expected}. ${mend}`,
      { line },
    );
  }

  private checkNameless(cells: readonly string[], line: number): void {
    for (const { column } of this.nameless) {
      const cell = (cells[column - 1] ?? '').trim();
      if (cell === '' || Number.isNaN(this.readNumber(cell))) continue;
      const message = `"${cell}" in line ${line} stands in column ${column}, which has no header. Give the column one; where a decimal comma cut a number in two, export the file with semicolons.`;
      this.problems.add('nameless-cell', message, { line, column, cell });
    }
  }

  private watch(cells: readonly string[], line: number): void {
    this.watched = this.watched.filter(watched => {
      const at = watched.column.header.column;
      const [left = '', right = ''] = [cells[at - 1]?.trim(), cells[at]?.trim()];
      if (right === '') watched.empty = true;
      else if (INTEGER.test(right) && /^[+-]?\d+$/.test(left)) watched.digits ??= { left, right, line };
      else return false;
      return true;
    });
  }

  private tellSplit({ column: { header, name }, digits, empty }: Watched): void {
    if (!digits || !empty) return;
    const { left, right, line } = digits;
    const neighbour = this.layout.headers[header.column]?.text ?? '';
    const message = `"${left},${right}" in line ${line} may be one number that its decimal comma cut in two: the column "${neighbour}" behind "${header.text}" holds digits in some rows and nothing in others. Export the file with semicolons, or name the column "${neighbour}" in the table as well.`;
    this.problems.add('split-number', message, { line, column: header.column, cell: `${left},${right}`, name });
  }

  private numberOf(cell: string, column: ColumnInProgress, row: number): number {
    if (this.shifted.has(row)) return NaN;
    const value = this.readNumber(cell);
    if (this.countsGroups) {
      if (hasPointGroups(cell)) column.pointGroups++;
      else if (!Number.isNaN(value)) column.otherNumbers++;
    }
    if (Number.isNaN(value) && !this.missing.has(cell)) this.addBadNumber(cell, column, this.lines.at(row));
    return value;
  }

  private addBadNumber(cell: string, column: ColumnInProgress, line: number): void {
    const { header, name } = column;
    const place = { line, column: header.column, cell, name };
    const where = `line ${line}, column "${header.text}"`;
    if (cell === '')
      this.problems.add(
        'empty-cell',
        `The cell in ${where}, is empty where a number is due. Fill it in, or say \`missing ""\`.`,
        { ...place, clause: 'missing ""' },
      );
    else if (explainNumber(cell, this.layout.format, false)) {
      if (column.comma) column.comma.count++;
      else column.comma = { cell, line, count: 1 };
    } else {
      const isWord = !/\d|["\\]/.test(cell) || cell.startsWith('#');
      const clause = isWord ? `missing "${cell}"` : undefined;
      const instead = clause === undefined ? '' : `; where it stands for none, say \`${clause}\``;
      this.problems.add(
        'not-a-number',
        `"${cell}" in ${where}, is not a number. Write a plain decimal number such as 402.5 or 4.025e2${instead}.`,
        { ...place, ...(clause && { clause }) },
      );
    }
  }

  /** Commas and points are understood together, when the whole column is known. */
  private tellCommas({ comma, pointGroups, otherNumbers, header, name }: ColumnInProgress): void {
    const place = { column: header.column, name };
    if (comma) {
      const explained = explainNumber(comma.cell, this.layout.format, pointGroups > 0)!;
      const more = comma.count > 1 ? ` (${comma.count - 1} more like it.)` : '';
      this.problems.add(
        'decimal-comma',
        `"${comma.cell}" in line ${comma.line}, column "${header.text}", ${explained.message}${more}`,
        { ...place, line: comma.line, cell: comma.cell, ...(explained.clause && { clause: explained.clause }) },
      );
    } else if (pointGroups > 0 && otherNumbers === 0)
      this.problems.add(
        'thousands-or-decimals',
        `Every number of the column "${header.text}" has three digits behind a point: 1.250 may be 1.25 or 1250. Say which: \`decimal "."\`, or \`decimal "," thousands "."\`.`,
        place,
      );
  }
}

/** The headers that are a text, or begin with it before their unit. */
export function matchesOf(headers: readonly TableHeader[], wanted: string): readonly TableHeader[] {
  const name = wanted.normalize('NFC');
  const whole = headers.filter(({ text }) => text === name);
  return whole.length > 0 ? whole : headers.filter(({ title }) => title === name);
}

function isUnitText(cell: string): boolean {
  if (cell === '') return false;
  const said = headerUnit(`[${cell.replace(/^[[(]|[\])]$/g, '')}]`);
  return said !== null && (said.readings.length > 0 || cell === '-');
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
