/** What is asked of a data file, and what it comes to. */
import type { FileFormat } from '../../model/declaration.js';

/** A column that is wanted. */
export interface ColumnRequest {
  /** Name under which the column is handed back. */
  readonly name: string;
  /** Its header, whole or without its unit; by default the name. */
  readonly header?: string;
  /** By default number where the header has a unit or every filled cell is a number, else text. */
  readonly kind?: 'number' | 'text';
  /** Stands behind its header in a title above the rows. */
  readonly above?: boolean;
}

export interface TableRequest {
  readonly columns: readonly ColumnRequest[];
  /** How the file is written; by default comma-separated with decimal points. */
  readonly format?: Partial<FileFormat>;
  /** Bytes above which a file is refused; default 256 MiB. */
  readonly sizeLimit?: number;
}

export interface TableHeader {
  /** As in the file, without outer spaces: "Fu [MPa]". */
  readonly text: string;
  /** Without the brackets of its unit: "Fu". */
  readonly title: string;
  /** Names the unit where the header does not: a line of units below it. */
  readonly unitBelow: string | null;
  /** One-based. */
  readonly column: number;
}

/** A column that was read. */
export interface TableColumn {
  readonly header: TableHeader;
  /** A cell without a number is NaN. */
  readonly values: Float64Array | readonly string[];
}

export interface Table {
  readonly rowCount: number;
  /** By requested name; a column that is missing in the file is missing here. */
  readonly columns: ReadonlyMap<string, TableColumn>;
  /** One-based line on which each row begins. */
  readonly lines: Uint32Array;
  readonly problems: readonly TableProblem[];
}

/** What may be wrong with a file, and whether nothing of it can be trusted then. */
export const PROBLEMS = {
  'too-large': 'fatal',
  encoding: 'fatal',
  'no-header': 'fatal',
  'no-rows': 'error',
  'missing-column': 'fatal',
  'duplicate-header': 'fatal',
  'ragged-row': 'fatal',
  quote: 'fatal',
  'nameless-cell': 'fatal',
  'split-number': 'fatal',
  'summary-row': 'fatal',
  'not-a-row': 'fatal',
  'named-summary': 'warning',
  'decimal-comma': 'fatal',
  'thousands-or-decimals': 'fatal',
  'cut-cell': 'fatal',
  'row-outside': 'fatal',
  'missing-title': 'fatal',
  'empty-cell': 'warning',
  'not-a-number': 'error',
} as const satisfies Record<string, 'fatal' | 'error' | 'warning'>;
export type TableProblemKind = keyof typeof PROBLEMS;

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
  /** Requested name of the column that it is about. */
  readonly name?: string;
  /** Words of the declaration that would mend it: `decimal ","`. */
  readonly clause?: string;
}

type ProblemPlace = Pick<TableProblem, 'line' | 'column' | 'cell' | 'name' | 'clause'>;

/** Problems by kind and column: the first of each is told, the others counted. */
export class ProblemList {
  private readonly problems = new Map<string, TableProblem>();

  add(kind: TableProblemKind, message: string, place: Partial<ProblemPlace> = {}): void {
    const { line = null, column = null, cell = null } = place;
    const key = kind === 'missing-column' ? `${kind} ${cell}` : `${kind} ${column}`;
    const known = this.problems.get(key);
    this.problems.set(
      key,
      known ? { ...known, count: known.count + 1 } : { ...place, kind, line, column, cell, count: 1, message },
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

export function emptyTable(problems: ProblemList): Table {
  return { rowCount: 0, columns: new Map(), lines: new Uint32Array(), problems: problems.list() };
}

export function megabytes(bytes: number): string {
  return `${Math.ceil(bytes / 2 ** 20)} MiB`;
}

export function count(amount: number, noun: string): string {
  return `${amount} ${noun}${amount === 1 ? '' : 's'}`;
}
