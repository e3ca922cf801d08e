/**
 * Rows of data files as values. Nothing is made for a row until it is asked for, so that a file of a million rows costs
 * its columns.
 */
import { DIMENSIONLESS } from '../../units/index.js';
import type { Builder } from '../values/builder.js';
import type { DataColumn, DataRows, ListValue, RecordValue, RowsValue, Value } from '../values/value.js';

/** Owner of a number that stands in a data file. */
export class DataOwner {
  constructor(
    readonly rows: RowsValue,
    readonly column: string,
    readonly row: number,
  ) {}
}

export function cellValue(builder: Builder, rows: RowsValue, name: string, row: number): Value {
  const column = rows.data.columns.get(name)!;
  if (column.kind === 'texts') return { kind: 'text', text: column.texts[row]! };
  const node = builder.datum(column.numbers[row]!, new DataOwner(rows, name, row));
  return {
    kind: 'quantity',
    node,
    dimension: column.unit?.dimension ?? DIMENSIONLESS,
    point: column.unit?.isPoint ?? false,
    unit: column.unit,
  };
}

export function rowRecord(builder: Builder, rows: RowsValue, row: number): RecordValue {
  return {
    kind: 'record',
    entries: new Map([...rows.data.columns.keys()].map(name => [name, cellValue(builder, rows, name, row)])),
  };
}

export function columnValues(builder: Builder, rows: RowsValue, name: string): ListValue {
  return {
    kind: 'list',
    items: Array.from({ length: rows.data.length }, (_, row) => cellValue(builder, rows, name, row)),
  };
}

/** Indices of the rows by the columns they were asked by; before it is worth while, how often they were asked. */
const indices = new WeakMap<DataRows, Map<string, { asked: number; index: Map<string, number[]> | null }>>();

/** An index over very many rows takes longer than a keystroke may: a few questions are answered by looking. */
const MANY_ROWS = 100_000;
const MANY_QUESTIONS = 200;

/** Numbers of the rows whose key columns read as wanted. */
export function matchingRows(
  data: DataRows,
  wanted: readonly { readonly name: string; readonly text: string }[],
): readonly number[] {
  const sorted = [...wanted].sort((x, y) => (x.name < y.name ? -1 : 1));
  let byColumns = indices.get(data);
  if (!byColumns) indices.set(data, (byColumns = new Map()));
  const names = sorted.map(key => key.name).join('\0');
  let entry = byColumns.get(names);
  if (!entry) byColumns.set(names, (entry = { asked: 0, index: null }));
  const columns = sorted.map(key => data.columns.get(key.name)!);
  const texts = sorted.map(key => key.text);
  if (!entry.index && data.length > MANY_ROWS && ++entry.asked <= MANY_QUESTIONS)
    return lookFor(data.length, columns, texts);
  entry.index ??= buildIndex(data, columns);
  return entry.index.get(texts.join('\0')) ?? [];
}

function lookFor(length: number, columns: readonly DataColumn[], texts: readonly string[]): number[] {
  const cells: ArrayLike<string | number>[] = columns.map(column =>
    column.kind === 'texts' ? column.texts : column.numbers,
  );
  const wanted = columns.map((column, i) => (column.kind === 'texts' ? texts[i]! : Number(texts[i])));
  const found: number[] = [];
  for (let row = 0; row < length; row++) {
    let i = 0;
    while (i < cells.length && cells[i]![row] === wanted[i]) i++;
    if (i === cells.length) found.push(row);
  }
  return found;
}

function buildIndex(data: DataRows, columns: readonly DataColumn[]): Map<string, number[]> {
  const index = new Map<string, number[]>();
  for (let row = 0; row < data.length; row++) {
    const key = columns
      .map(column => (column.kind === 'texts' ? column.texts[row]! : String(column.numbers[row]!)))
      .join('\0');
    const rows = index.get(key);
    if (rows) rows.push(row);
    else index.set(key, [row]);
  }
  return index;
}
