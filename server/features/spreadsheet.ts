/** Ranges of a spreadsheet as tables of the language, and back: tabs between cells, a line a row. */
import { expressionsOf } from '../findings/text-search.js';
import { spanOf } from '../model/declaration.js';
import { walk } from '../model/expression.js';
import { isPoison, type TableValue, type Value } from '../engine/values/value.js';
import type { TableData } from '../engine/operations/table.js';
import { numberReader } from '../project/data-files/numbers.js';
import { fromSI, headerTitle, headerUnit, readableUnit, type Unit } from '../units/index.js';
import type { FeatureContext } from './feature.js';
import { entityOfItem } from './resolve.js';
import { inScene } from './evaluate.js';
import { itemsAround } from './refactoring.js';

/** Larger ranges belong into a data file. */
const MOST_CELLS = 2000;

// ---- pasted ---------------------------------------------------------------------------------------------------------

/**
 * A copied range as text to insert, with places for the units that it does not name, each asked once. Null where it is
 * no range of numbers, or where its commas can be read in two ways.
 */
export function pastedTable(text: string): string | null {
  const rows = cellsOf(text);
  const width = rows[0]?.length ?? 0;
  if (rows.length < 2 || width < 2 || rows.length * width > MOST_CELLS) return null;
  if (rows.some(row => row.length !== width)) return null;
  const read = readerFor(rows.flat());
  if (!read) return null;
  const isNumber = (cell: string): boolean => !Number.isNaN(read(cell));
  const [first = [], ...others] = rows;
  const hasHeader = others.length > 0 && !first.slice(1).some(isNumber);
  const body = hasHeader ? others : rows;
  const units = new Units();
  if (width === 2) return pairs(body, hasHeader ? first : [], read, units);
  if (!hasHeader && !isNumber(first[0]!) && first.slice(1).every(isNumber)) return grid(first, others, read, units);
  return hasHeader ? records(first, body, read, units) : null;
}

function cellsOf(text: string): string[][] {
  const lines = text.replace(/\r\n?/g, '\n').replace(/\n+$/, '').split('\n');
  return lines.map(line => line.split('\t').map(cell => cell.trim().replace(/\u2212/g, '-')));
}

type Read = (cell: string) => number;

/** How the numbers of a range are written, if all of them are written so; the plain way first. */
function readerFor(cells: readonly string[]): Read | null {
  const numbers = cells.filter(cell => /^[+-]?[\d.,]/.test(cell) && /^[\d.,'’ \u00a0\u202f+\-eE]+$/.test(cell));
  if (numbers.length === 0) return null;
  const grouped = numbers.filter(cell => /^[+-]?[1-9]\d{0,2}([.,])\d{3}$/.test(cell) && cell.includes(','));
  // 1,250 beside nothing that tells its comma.
  if (grouped.length > 0 && numbers.every(cell => !cell.includes(',') || grouped.includes(cell))) return null;
  const ways = [
    { decimal: '.', thousands: null },
    { decimal: ',', thousands: null },
    { decimal: ',', thousands: '.' },
    { decimal: ',', thousands: ' ' },
    { decimal: '.', thousands: ',' },
    { decimal: '.', thousands: ' ' },
  ] as const;
  const readers = ways.map(numberReader);
  return readers.find(read => numbers.every(cell => !Number.isNaN(read(cell)))) ?? null;
}

/** Places for units in what is inserted: one for each column, however often it stands. */
class Units {
  private next = 1;

  /** The unit that a header names, or a place for it. */
  of(header: string | undefined): string {
    const said = header === undefined ? null : headerUnit(header);
    const [unit] = said?.readings ?? [];
    if (said?.unit === null) return '';
    if (unit) return ` ${unit.symbol}`;
    return ` \${${this.next++}:unit}`;
  }
}

/** What the first places say is said by the others as well. */
function again(unit: string): string {
  return unit.replace(/\$\{(\d+):unit\}/, '$$$1');
}

/** `[20 degC -> 490 MPa, …]`. */
function pairs(
  body: readonly (readonly string[])[],
  header: readonly string[],
  read: Read,
  units: Units,
): string | null {
  const keysAreNumbers = body.every(([key = '']) => !Number.isNaN(read(key)));
  if (body.some(([, value = '']) => Number.isNaN(read(value)))) return null;
  const [keyUnit, valueUnit] = [keysAreNumbers ? units.of(header[0]) : '', units.of(header[1])];
  const entries = body.map(([key = '', value = ''], row) => {
    const [ofKey, ofValue] = row === 0 ? [keyUnit, valueUnit] : [again(keyUnit), again(valueUnit)];
    return `${keysAreNumbers ? number(read(key)) + ofKey : quoted(key)} -> ${number(read(value))}${ofValue}`;
  });
  return `[${entries.join(', ')}]`;
}

/** `by e_D, T { 1.5 -> [-55 degC -> 731 MPa, …] … }`: the first line holds the second input. */
function grid(first: readonly string[], rows: readonly (readonly string[])[], read: Read, units: Units): string | null {
  if (rows.some(row => row.some(cell => Number.isNaN(read(cell))))) return null;
  const [rowUnit, columnUnit, valueUnit] = [units.of(undefined), units.of(undefined), units.of(undefined)];
  const lines = rows.map(([key = '', ...values], row) => {
    const cells = values.map((value, i) => {
      const isFirst = row === 0 && i === 0;
      const [ofKey, ofValue] = isFirst ? [columnUnit, valueUnit] : [again(columnUnit), again(valueUnit)];
      return `${number(read(first[i + 1]!))}${ofKey} -> ${number(read(value))}${ofValue}`;
    });
    return `  ${number(read(key))}${row === 0 ? rowUnit : again(rowUnit)} -> [${cells.join(', ')}]`;
  });
  return `by \${4:x}, \${5:y} {\n${lines.join('\n')}\n}`;
}

/** `[{ piece: "C1"  load: 3 kN }, …]`: a record a line, named by the header. */
function records(
  header: readonly string[],
  body: readonly (readonly string[])[],
  read: Read,
  units: Units,
): string | null {
  const columns = header.map((text, i) => {
    const isNumber = body.every(row => !Number.isNaN(read(row[i]!)));
    return { name: columnName(text, i), isNumber, unit: isNumber ? units.of(text) : '' };
  });
  if (new Set(columns.map(({ name }) => name)).size < columns.length) return null;
  const lines = body.map((row, line) => {
    const entries = columns.map(({ name, isNumber, unit }, i) =>
      isNumber ? `${name}: ${number(read(row[i]!))}${line === 0 ? unit : again(unit)}` : `${name}: ${quoted(row[i]!)}`,
    );
    return `  { ${entries.join(', ')} }`;
  });
  return `[\n${lines.join(',\n')}\n]`;
}

function columnName(header: string, column: number): string {
  const words = headerTitle(header)
    .replace(/[^\p{L}\p{N}]+/gu, '_')
    .replace(/^_+|_+$/g, '');
  return /^\p{L}/u.test(words) ? words : `column_${column + 1}`;
}

/** Braces, `$` and `\` mean something in what is inserted. */
function quoted(cell: string): string {
  const text = cell.replace(/["\\{]/g, '\\$&');
  return `"${text.replace(/[\\$}]/g, '\\$&')}"`;
}

function number(value: number): string {
  return String(value).replace('e+', 'e');
}

// ---- copied ---------------------------------------------------------------------------------------------------------

/** The table that stands at a place, as a spreadsheet takes it; null where there is none. */
export function copiedTable(context: FeatureContext, offset: number, decimal: string): string | null {
  const table = tableAt(context, offset);
  if (!table) return null;
  const spell = (value: number, unit: Unit | null): string =>
    number(Number((unit ? fromSI(unit, value) : value).toPrecision(12))).replace('.', decimal);
  const [first, second] = table.inputs.map(input => ({ ...input, unit: unitOf(input, input.unit) }));
  const output = unitOf(table.output, table.output.unit);
  if (!first) return null;
  const keysOf = ({ keys }: TableData, unit: Unit | null): string[] =>
    keys instanceof Float64Array ? [...keys].map(key => spell(key, unit)) : [...keys];
  const { values } = table.data;
  if (values instanceof Float64Array) {
    const head = [headed(first.name ?? 'x', first.unit), headed('y', output)];
    const rows = keysOf(table.data, first.unit).map((key, i) => [key, spell(values[i]!, output)]);
    return lines([head, ...rows]);
  }
  const inner = values as readonly TableData[];
  const head = [
    headed(`${first.name ?? 'x'}, ${second?.name ?? 'y'}`, output),
    ...keysOf(inner[0]!, second?.unit ?? null),
  ];
  const isSame = inner.every(each => String(each.keys) === String(inner[0]!.keys));
  if (!isSame) return null;
  const rows = keysOf(table.data, first.unit).map((key, i) => [
    key,
    ...[...(inner[i]!.values as Float64Array)].map(value => spell(value, output)),
  ]);
  return lines([head, ...rows]);
}

function tableAt(context: FeatureContext, offset: number): TableValue | null {
  for (const { item } of itemsAround(context, offset)) {
    const entity = entityOfItem(context.project, item);
    let text: string | null = null;
    for (const root of expressionsOf(item))
      walk(root, node => {
        const { start, end } = spanOf(item, node.id);
        // The outermost one; those in its cells are part of it.
        if (node.kind === 'table' && text === null && start <= offset && offset <= end)
          text = context.text.slice(start, end);
      });
    if (!entity || text === null) continue;
    const source: string = text;
    const value: Value | null = inScene(context.project, scene =>
      scene.value(source, entity, scene.environment(entity, item)),
    );
    if (value && !isPoison(value) && value.kind === 'table') return value;
  }
  return null;
}

function unitOf({ dimension, point }: TableValue['output'], written: Unit | null): Unit | null {
  const unit = written ?? readableUnit(dimension, 1, point);
  return unit.symbol === '' ? null : unit;
}

function headed(name: string, unit: Unit | null): string {
  return unit ? `${name} [${unit.symbol}]` : name;
}

function lines(rows: readonly (readonly string[])[]): string {
  return `${rows.map(row => row.join('\t')).join('\n')}\n`;
}
