/** Rows of data files as values. Nothing is made for a row until it is asked for, so that a file of a million rows costs its columns. */
import { DIMENSIONLESS } from '../units/index.js';
import type { Builder } from './builder.js';
import type { DataColumn, DataRows, ListValue, RecordValue, RowsValue, Value } from './value.js';

/** Owner of a number that stands in a data file. */
export class DataOwner {
  constructor(readonly rows: RowsValue, readonly column: string, readonly row: number) {}
}

export function cellValue(builder: Builder, rows: RowsValue, name: string, row: number): Value {
  const column = rows.data.columns.get(name)!;
  if (column.kind === 'texts') return { kind: 'text', text: column.texts[row]! };
  const node = builder.datum(column.numbers[row]!, new DataOwner(rows, name, row));
  return { kind: 'quantity', node, dimension: column.unit?.dimension ?? DIMENSIONLESS, point: column.unit?.isPoint ?? false, unit: column.unit };
}

export function rowRecord(builder: Builder, rows: RowsValue, row: number): RecordValue {
  return { kind: 'record', entries: new Map([...rows.data.columns.keys()].map(name => [name, cellValue(builder, rows, name, row)])) };
}

export function columnValues(builder: Builder, rows: RowsValue, name: string): ListValue {
  return { kind: 'list', items: Array.from({ length: rows.data.length }, (_, row) => cellValue(builder, rows, name, row)) };
}

/** Indices of the rows by the columns they were asked by. */
const indices = new WeakMap<DataRows, Map<string, Map<string, number[]>>>();

/** Numbers of the rows whose key columns read as wanted. */
export function matchingRows(data: DataRows, wanted: readonly { readonly name: string; readonly text: string }[]): readonly number[] {
  const sorted = [...wanted].sort((x, y) => x.name < y.name ? -1 : 1);
  let byColumns = indices.get(data);
  if (!byColumns) indices.set(data, (byColumns = new Map()));
  const columns = sorted.map(key => key.name).join('\0');
  let index = byColumns.get(columns);
  if (!index) byColumns.set(columns, (index = buildIndex(data, sorted.map(key => data.columns.get(key.name)!))));
  return index.get(sorted.map(key => key.text).join('\0')) ?? [];
}

function buildIndex(data: DataRows, columns: readonly DataColumn[]): Map<string, number[]> {
  const index = new Map<string, number[]>();
  for (let row = 0; row < data.length; row++) {
    const key = columns.map(column => column.kind === 'texts' ? column.texts[row]! : String(column.numbers[row]!)).join('\0');
    const rows = index.get(key);
    if (rows) rows.push(row);
    else index.set(key, [row]);
  }
  return index;
}
