/** Data files as the evaluation reads them: columns in SI, held against the units that the project states. */
import { COLUMN_TYPES, type FindingCode } from '../language/index.js';
import { contentHash } from '../base/index.js';
import type { Column, FileFormat } from '../model/declaration.js';
import type { Entity } from '../model/namespace.js';
import type { DataColumn, DataRows } from '../engine/values/value.js';
import { citedFile } from '../engine/values/words.js';
import { headerUnit, isUnit, parseUnit, type HeaderUnit, type Unit } from '../units/index.js';
import type { Found } from '../findings/index.js';
import { PROBLEMS, type Table, type TableHeader, type TableRequest } from './data-files/table.js';
import { folderOf, joinPath } from './paths.js';
import { columnsOf, declared, saidIn } from '../model/statements.js';

/** What a `table` or `results` block needs read. */
export interface DataRequest {
  /** The same for the same file read the same way. */
  readonly key: string;
  /** Relative to the root of the workspace; null where it would leave it. */
  readonly path: string | null;
  readonly written: string;
  readonly request: TableRequest;
}

export interface LoadedTable {
  readonly rows: DataRows;
  readonly problems: readonly TableProblem[];
}

/** What is wrong with a file, at one of the block's columns or at the block. */
interface TableProblem {
  readonly code: FindingCode;
  readonly column: Column | null;
  readonly data: Readonly<Record<string, string>>;
  readonly severity?: Found['severity'];
}

export const NOT_READY: DataRows = { columns: new Map(), length: 0, ready: false };

/** The file that a block reads, or null where it reads none. */
export function dataRequest(entity: Entity): DataRequest | null {
  const { declaration } = entity;
  const written = citedFile(declaration.value?.value);
  const declaredColumns = columnsOf(entity);
  if (written === null || declaredColumns.length === 0) return null;
  const path = joinPath(folderOf(declaration.placement.file), written);
  const request: TableRequest = {
    format: saidIn(declaration, 'format'),
    columns: declaredColumns.map(column => ({
      name: column.name,
      ...(column.header !== null && { header: column.header }),
      ...(column.above && { above: true }),
      ...(isTextColumn(column) ? { kind: 'text' as const } : column.unitText ? { kind: 'number' as const } : {}),
    })),
  };
  const units = declaredColumns.map(column => column.unitText);
  return { key: JSON.stringify([path, written, request, units]), path, written, request };
}

function isTextColumn(column: Column): boolean {
  return column.unitText !== null && COLUMN_TYPES.has(column.unitText);
}

/** What a file comes to that can't be read. */
export function unread(code: FindingCode, data: TableProblem['data']): LoadedTable {
  return { rows: NOT_READY, problems: [{ code, column: null, data }] };
}

const contents = new WeakMap<DataRows, string>();

/** Content hash of what was read of a file, however the file writes it. */
export function contentOf({ rows }: LoadedTable): string {
  let known = contents.get(rows);
  if (known === undefined) {
    const columns = [...rows.columns].map(([name, column]) =>
      JSON.stringify([
        name,
        contentHash(String(column.kind === 'numbers' ? column.numbers : JSON.stringify(column.texts))),
      ]),
    );
    contents.set(rows, (known = contentHash(columns.sort().join('\n'))));
  }
  return known;
}

/** What is wrong with the file of a block, found where its columns stand now. */
export function foundIn(block: Entity, { problems }: LoadedTable): Found[] {
  return problems.map(({ column, ...problem }) => {
    const here = column && columnsOf(block).find(({ name }) => name === column.name);
    return { ...problem, place: { owner: block.declaration, id: here?.id ?? 2 } };
  });
}

/** A file that was read, as rows of the block. */
export function loadTable(block: Entity, table: Table, path: string): LoadedTable {
  const declaration = declared(block, 'table', 'results');
  const columns = new Map<string, DataColumn>();
  const problems = table.problems.map((problem): TableProblem => {
    const { message, clause, kind, name } = problem;
    const severity = PROBLEMS[kind] === 'warning' ? 'warning' : 'error';
    const column = declaration.columns.find(each => each.name === name) ?? null;
    const fits = clause !== undefined && fitsIn(declaration.format, clause);
    return { code: 'data-file', column, data: { path, message, ...(fits && { clause }) }, severity };
  });
  let ready = !table.problems.some(({ kind }) => PROBLEMS[kind] === 'fatal');
  for (const column of declaration.columns) {
    const read = table.columns.get(column.name);
    if (!read) {
      ready = false;
    } else if (read.values instanceof Float64Array) {
      const unit = columnUnit(column, read.header, problems);
      if (unit === undefined) ready = false;
      else columns.set(column.name, { kind: 'numbers', numbers: unit ? inSI(read.values, unit) : read.values, unit });
    } else {
      if (column.unitText && !isTextColumn(column)) ready = false;
      columns.set(column.name, { kind: 'texts', texts: read.values });
    }
  }
  return { rows: ready ? { columns, length: table.rowCount, ready: true } : NOT_READY, problems };
}

/** Whether a declaration can take a clause that it does not have yet. */
function fitsIn(format: FileFormat, clause: string): boolean {
  return [...clause.matchAll(/(\w+) (?:"|\d)/g)].every(([, word]) => {
    const said = format[word as keyof FileFormat];
    return said === null || said === 0 || (Array.isArray(said) && said.length === 0);
  });
}

/**
 * The unit of a number column: what the project states and what the header says must agree. Undefined where they don't,
 * or where it can't be seen whether they do.
 */
function columnUnit(column: Column, header: TableHeader, problems: TableProblem[]): Unit | null | undefined {
  const said = headerUnit(header.text) ?? (header.unitBelow === null ? null : headerUnit(`[${header.unitBelow}]`));
  const tell = (code: FindingCode, data: TableProblem['data']): undefined => void problems.push({ code, column, data });
  const stated = column.unitText === null || column.unitText === 'number' ? null : parseUnit(column.unitText);
  if (stated && !isUnit(stated)) return tell('unknown-unit', { unit: column.unitText!, message: stated.message });
  if (!said) return stated;
  const about = { column: column.name, header: header.text, unit: said.text };
  const disagrees = (): undefined =>
    tell('header-unit-disagrees', {
      ...about,
      stated: column.unitText === 'number' ? 'a plain number' : column.unitText!,
    });
  if (column.unitText === null)
    return said.unit === undefined ? tell('header-unit-unknown', likely(about, said)) : said.unit;
  if (said.unit === null) return stated ? disagrees() : null;
  if (said.readings.length === 0) return tell('header-unit-unknown', likely(about, said));
  if (!stated) return disagrees();
  return said.readings.some(reading => isSame(reading, stated)) ? stated : disagrees();
}

function isSame(one: Unit, other: Unit): boolean {
  return one.dimension === other.dimension && one.factor === other.factor && one.isPoint === other.isPoint;
}

/** What a header may mean whose unit can't be read. */
function likely(about: TableProblem['data'], { readings, text }: HeaderUnit): TableProblem['data'] {
  const problem = parseUnit(text);
  const meant = readings[0]?.symbol ?? (isUnit(problem) ? undefined : problem.suggestion);
  return meant === undefined ? about : { ...about, meant };
}

function inSI(numbers: Float64Array, unit: Unit): Float64Array {
  const offset = unit.isPoint && unit.offset ? unit.offset.toNumber() : 0;
  return numbers.map(x => (x + offset) * unit.factor);
}
