/** Data files as the evaluation reads them: columns in SI, held against the units that the project states. */
import type { Column } from '../model/declaration.js';
import type { Entity } from '../model/namespace.js';
import type { DataColumn, DataRows } from '../engine/value.js';
import { citedFile } from '../engine/words.js';
import { isUnit, parseUnit, type Unit } from '../units/index.js';
import type { Found } from '../findings/index.js';
import type { Table, TableRequest } from './csv.js';
import { folderOf, joinPath } from './paths.js';

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
  readonly code: string;
  readonly column: Column | null;
  readonly data: Readonly<Record<string, string>>;
  readonly severity?: Found['severity'];
}

export const NOT_READY: DataRows = { columns: new Map(), length: 0, ready: false };

const TEXT_TYPES = new Set(['text', 'part', 'load', 'case', 'label', 'material', 'lot', 'article', 'date', 'word']);

/** The file that a block reads, or null where it reads none. */
export function dataRequest(entity: Entity): DataRequest | null {
  const { declaration } = entity;
  const written = citedFile(declaration.value?.value);
  if (written === null || declaration.columns.length === 0) return null;
  const path = joinPath(folderOf(declaration.placement.file), written);
  const request: TableRequest = {
    skip: declaration.skip,
    columns: declaration.columns.map(column => ({
      name: column.name,
      header: column.header ?? column.name,
      ...(isTextColumn(column) ? { kind: 'text' as const } : column.unitText ? { kind: 'number' as const } : {}),
    })),
  };
  const units = declaration.columns.map(column => column.unitText);
  return { key: JSON.stringify([path, written, request, units]), path, written, request };
}

function isTextColumn(column: Column): boolean {
  return column.unitText !== null && TEXT_TYPES.has(column.unitText);
}

/** What a file comes to that can't be read. */
export function unread(code: string, data: TableProblem['data']): LoadedTable {
  return { rows: NOT_READY, problems: [{ code, column: null, data }] };
}

/** What is wrong with the file of a block, found where its columns stand now. */
export function foundIn({ declaration }: Entity, { problems }: LoadedTable): Found[] {
  return problems.map(({ column, ...problem }) => {
    const here = column && declaration.columns.find(({ name }) => name === column.name);
    return { ...problem, place: { owner: declaration, id: here?.id ?? 2 } };
  });
}

/** A file that was read, as rows of the block. */
export function loadTable({ declaration }: Entity, table: Table, path: string): LoadedTable {
  const problems: TableProblem[] = [];
  const columns = new Map<string, DataColumn>();
  for (const problem of table.problems) {
    const column = declaration.columns.find(candidate =>
      problem.message.includes(`"${candidate.header ?? candidate.name}"`),
    );
    problems.push({
      code: 'data-file',
      column: column ?? null,
      data: { path, message: problem.message },
      severity: problem.kind === 'empty-cell' || problem.kind === 'decimal-comma' ? 'warning' : 'error',
    });
  }
  let ready = !table.problems.some(problem => FATAL.has(problem.kind));
  for (const column of declaration.columns) {
    const data = table.columns.get(column.name);
    if (!data) {
      ready = false;
      continue;
    }
    if (!(data instanceof Float64Array)) {
      if (column.unitText && !isTextColumn(column)) ready = false;
      columns.set(column.name, { kind: 'texts', texts: data });
      continue;
    }
    const unit = columnUnit(column, table, problems);
    if (unit === undefined) ready = false;
    else columns.set(column.name, { kind: 'numbers', numbers: unit ? inSI(data, unit) : data, unit });
  }
  return { rows: ready ? { columns, length: table.rowCount, ready: true } : NOT_READY, problems };
}

const FATAL: ReadonlySet<string> = new Set([
  'too-large',
  'encoding',
  'no-header',
  'missing-column',
  'duplicate-header',
  'ragged-row',
  'quote',
]);

/**
 * The unit of a number column: what the project states and what the header says must agree. Undefined where they don't.
 */
function columnUnit(column: Column, table: Table, problems: TableProblem[]): Unit | null | undefined {
  const header = table.headers.find(
    candidate =>
      candidate.text === (column.header ?? column.name) || candidate.title === (column.header ?? column.name),
  );
  const said = header ? (header.unit ?? unitBehind(header.text)) : null;
  const written = said === null ? null : parseUnit(said);
  const stated = column.unitText && column.unitText !== 'number' ? parseUnit(column.unitText) : null;
  if (stated && !isUnit(stated)) {
    problems.push({
      code: 'unknown-unit',
      column,
      data: { unit: column.unitText!, message: stated.message },
    });
    return undefined;
  }
  if (header?.unit && written && !isUnit(written)) {
    problems.push({
      code: 'header-unit-unknown',
      column,
      data: { column: column.name, header: header.text, unit: header.unit },
    });
    return undefined;
  }
  if (
    written &&
    isUnit(written) &&
    stated &&
    (written.dimension !== stated.dimension || written.factor !== stated.factor || written.isPoint !== stated.isPoint)
  ) {
    problems.push({
      code: 'header-unit-disagrees',
      column,
      data: { column: column.name, stated: column.unitText!, header: header!.text, unit: said! },
    });
    return undefined;
  }
  if (stated) return stated;
  return header?.unit && written && isUnit(written) ? written : null;
}

/** A unit that a header may name without square brackets: `Fu (kN)`, `Fu / kN`, `Fu in kN`. */
function unitBehind(header: string): string | null {
  return /(?:\(([^()]+)\)|[ \t]\/[ \t]*(\S+)|[ \t]in[ \t]+(\S+))[ \t]*$/u.exec(header)?.slice(1).find(Boolean) ?? null;
}

function inSI(numbers: Float64Array, unit: Unit): Float64Array {
  const offset = unit.isPoint && unit.offset ? unit.offset.toNumber() : 0;
  return numbers.map(x => (x + offset) * unit.factor);
}
