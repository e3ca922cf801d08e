/** Tables as they are written, and looking them up. */
import type { ValueItem } from '../../model/declaration.js';
import type { Call, Expression, Interpolation, Table as TableExpression } from '../../model/expression.js';
import { dimensionName, DIMENSIONLESS } from '../../units/index.js';
import { dimensionWords } from '../values/describe.js';
import type { Elaboration, Environment } from './elaboration.js';
import { VARIES_WITH_TOLERANCES } from '../operations/op.js';
import type { TableData } from '../operations/table.js';
import {
  describeKind,
  isPoison,
  POISON,
  type Origin,
  type Place,
  type Poison,
  type Quantity,
  type TableInput,
  type TableValue,
  type Text,
  type Value,
} from '../values/value.js';

/** A row of a table as it is written, with what its key and its value come to. */
interface ElaboratedRow {
  readonly row: TableExpression['rows'][number];
  readonly key: Value;
  readonly value: Value;
}

export function tableOf(
  elaborator: Elaboration,
  e: TableExpression,
  env: Environment | null,
  inputs: readonly string[],
): Value {
  const rows = e.rows.map((row): ElaboratedRow => ({
    row,
    key: elaborator.expression(row.key, env),
    value:
      row.value.kind === 'table'
        ? tableOf(elaborator, row.value, env, inputs.slice(1))
        : elaborator.expression(row.value, env),
  }));
  const poisoned = rows.map(row => (isPoison(row.key) ? row.key : row.value)).find(isPoison);
  if (poisoned) return poisoned;
  const [first] = rows;
  if (!first) return POISON;
  const interpolation: Interpolation = e.interpolation ?? (first.key.kind === 'text' ? 'exact' : 'linear');
  const keys: (number | string)[] = [];
  const values: (number | TableData)[] = [];
  for (const each of rows) {
    const key = keyOf(elaborator, each, first, keys);
    if (typeof key === 'object') return key;
    keys.push(key);
    const value = valueOf(elaborator, each, first);
    if (typeof value === 'object' && 'kind' in value) return value;
    values.push(value);
  }
  if (interpolation === 'loglog' || interpolation === 'semilog') {
    const hasLogarithm = (x: number | string | TableData | undefined): boolean => typeof x === 'number' && x > 0;
    const bad = rows.find(
      (_, i) =>
        !hasLogarithm(keys[i]) ||
        (interpolation === 'loglog' && first.value.kind !== 'table' && !hasLogarithm(values[i])),
    );
    if (bad) return elaborator.problem('table-logarithm', bad.row.key.id, { interpolation });
  }
  const inner = first.value.kind === 'table' ? first.value : null;
  const input = inputOf(first.key, inputs[0] ?? null);
  return {
    kind: 'table',
    data: {
      interpolation,
      keys: input.text ? (keys as string[]) : Float64Array.from(keys as number[]),
      values: inner ? (values as TableData[]) : Float64Array.from(values as number[]),
    },
    inputs: inner ? [input, ...inner.inputs] : [input],
    output: inner ? inner.output : outputOf(first.value as Quantity),
    origin: origin(elaborator),
  };
}

/** The key of a row behind those before it: texts that differ, or numbers of one dimension that ascend. */
function keyOf(
  elaborator: Elaboration,
  { row, key }: ElaboratedRow,
  first: ElaboratedRow,
  before: readonly (number | string)[],
): number | string | Poison {
  const { id } = row.key;
  if (key.kind === 'text' && first.key.kind === 'text')
    return before.includes(key.text) ? elaborator.problem('duplicate-entry', id, { name: key.text }) : key.text;
  if (
    key.kind !== 'quantity' ||
    first.key.kind !== 'quantity' ||
    key.dimension !== first.key.dimension ||
    key.point !== first.key.point
  )
    return elaborator.problem('table-keys-differ', id, {});
  const number = fixedNumber(elaborator, key, id);
  const last = before[before.length - 1];
  return last !== undefined && !(number > (last as number))
    ? elaborator.problem('table-not-ascending', id, {})
    : number;
}

/** The value of a row: a table of a second input where the first row has one, else a number of the same dimension. */
function valueOf(
  elaborator: Elaboration,
  { row, value }: ElaboratedRow,
  first: ElaboratedRow,
): number | TableData | Poison {
  const { id } = row.value;
  if (first.value.kind === 'table')
    return value.kind === 'table' && value.output.dimension === first.value.output.dimension
      ? value.data
      : elaborator.problem('table-values-differ', id, {});
  return value.kind === 'quantity' &&
    first.value.kind === 'quantity' &&
    first.value.dimension === value.dimension &&
    first.value.point === value.point
    ? fixedNumber(elaborator, value, id)
    : elaborator.problem('table-values-differ', id, { found: describeKind(value) });
}

function inputOf(key: Value, name: string | null): TableInput {
  return key.kind === 'quantity'
    ? { name, text: false, dimension: key.dimension, point: key.point, unit: key.unit }
    : { name, text: true, dimension: DIMENSIONLESS, point: false, unit: null };
}

function outputOf({ dimension, point, unit }: Quantity): TableValue['output'] {
  return { dimension, point, unit };
}

/** A number of a table, which is frozen: it can't carry a tolerance. */
function fixedNumber(elaborator: Elaboration, quantity: Quantity, id: number): number {
  if (elaborator.builder.variation(quantity.node) & VARIES_WITH_TOLERANCES)
    elaborator.problem('tolerance-in-table', id);
  return elaborator.demand(quantity.node);
}

function origin(elaborator: Elaboration): Origin | null {
  const item = elaborator.item;
  if (item.kind === 'text' || item.kind === 'check' || item.kind === 'restriction' || !('annotations' in item))
    return null;
  return {
    entity: elaborator.scope,
    item: item as ValueItem,
    path: [...elaborator.path],
    annotations: (item as ValueItem).annotations,
  };
}

export function callTable(elaborator: Elaboration, table: TableValue, e: Call, env: Environment | null): Value {
  const ordered: Expression[] = [];
  for (const [i, argument] of e.arguments.entries()) {
    const at = argument.name === null ? i : table.inputs.findIndex(input => input.name === argument.name);
    if (at < 0 || argument.form === 'each')
      return elaborator.problem('unknown-argument', argument.id, {
        name: argument.name ?? '',
        known: table.inputs.map(input => input.name ?? 'its input').join(', '),
      });
    ordered[at] = argument.value;
  }
  if (ordered.filter(Boolean).length !== table.inputs.length)
    return elaborator.problem('argument-count', e.id, {
      name: 'this table',
      wanted: String(table.inputs.length),
      found: String(e.arguments.length),
    });
  const values = ordered.map(argument => elaborator.expression(argument, env));
  const poisoned = values.find(isPoison);
  if (poisoned) return poisoned;
  return lookUpTable(
    elaborator,
    table,
    values,
    e.id,
    ordered.map(argument => argument.id),
  );
}

function lookUpTable(
  elaborator: Elaboration,
  table: TableValue,
  values: readonly Value[],
  id: number,
  ids: readonly number[],
): Value {
  let data = table.data;
  let inputs = table.inputs;
  let given = values;
  while (inputs.length > 0 && inputs[0]!.text) {
    const key = given[0]!;
    if (key.kind !== 'text')
      return elaborator.problem('table-input', ids[0]!, { found: describeKind(key), wanted: 'a text' });
    if (key.typed)
      return elaborator.quantity(
        elaborator.builder.undetermined('only-a-type', {}, { owner: elaborator.item, id }),
        table.output.dimension,
        table.output.unit,
        table.output.point,
      );
    const at = (data.keys as readonly string[]).indexOf(key.text);
    if (at < 0) return keyUnknown(elaborator, table, key, data.keys as readonly string[], ids[0]!);
    if (inputs.length === 1)
      return elaborator.quantity(
        tableConstant(elaborator, (data.values as Float64Array)[at]!, table),
        table.output.dimension,
        table.output.unit,
        table.output.point,
      );
    data = (data.values as readonly TableData[])[at]!;
    inputs = inputs.slice(1);
    given = given.slice(1);
  }
  const quantities: Quantity[] = [];
  for (const [i, input] of inputs.entries()) {
    const value = given[i]!;
    if (value.kind === 'range') return elaborator.problem('range-in-table', ids[i] ?? id, {});
    if (value.kind !== 'quantity' || value.dimension !== input.dimension)
      return elaborator.problem('table-input', ids[i] ?? id, {
        found: value.kind === 'quantity' ? dimensionWords(value) : describeKind(value),
        wanted: dimensionName(input.dimension),
      });
    if (value.point !== input.point)
      return elaborator.problem(input.point ? 'difference-where-point' : 'point-where-difference', ids[i] ?? id, {});
    quantities.push(value);
  }
  const node = elaborator.builder.table(
    data,
    { place: { owner: elaborator.item, id } satisfies Place, origin: table.origin, inputs },
    quantities[0]!.node,
    quantities[1]?.node,
  );
  return elaborator.quantity(node, table.output.dimension, table.output.unit, table.output.point);
}

/** A value picked by a text key: a constant that still knows which table it comes from. */
function tableConstant(elaborator: Elaboration, value: number, table: TableValue): number {
  const data: TableData = { interpolation: 'exact', keys: Float64Array.of(0), values: Float64Array.of(value) };
  return elaborator.builder.table(
    data,
    { place: null, origin: table.origin, inputs: [] },
    elaborator.builder.constant(0),
  );
}

/** Told where an instance gives its kind the key; else where the table is asked. */
function keyUnknown(
  elaborator: Elaboration,
  { origin }: TableValue,
  key: Text,
  keys: readonly string[],
  id: number,
): Value {
  const data = { key: key.text, known: keys.join(', ') };
  if (!key.given) return elaborator.problem('table-key-unknown', id, data);
  const { instance, item } = key.given;
  return elaborator.inItem(item, instance, () =>
    elaborator.problem('table-key-unknown', item.value.id, {
      ...data,
      table: origin?.item.name ?? 'A table',
      kind: instance.base?.name ?? '',
    }),
  );
}
