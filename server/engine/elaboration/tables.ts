/** Tables as they are written, and looking them up. */
import type { ValueItem } from '../../model/declaration.js';
import type { Call, Expression, Interpolation, Table as TableExpression } from '../../model/expression.js';
import { dimensionName, DIMENSIONLESS } from '../../units/index.js';
import { dimensionWords } from '../values/describe.js';
import type { Elaboration, Environment } from './elaboration.js';
import { VARIES_WITH_TOLERANCES } from '../operations/op.js';
import type { TableData } from '../operations/table.js';
import {
  POISON,
  describeKind,
  isPoison,
  type Origin,
  type Place,
  type Quantity,
  type TableInput,
  type TableValue,
  type Text,
  type Value,
} from '../values/value.js';

export function tableOf(
  elaborator: Elaboration,
  e: TableExpression,
  env: Environment | null,
  inputs: readonly string[],
): Value {
  const rows = e.rows.map(row => ({
    row,
    key: elaborator.expression(row.key, env),
    value:
      row.value.kind === 'table'
        ? tableOf(elaborator, row.value, env, inputs.slice(1))
        : elaborator.expression(row.value, env),
  }));
  const poisoned = rows.map(row => (isPoison(row.key) ? row.key : row.value)).find(isPoison);
  if (poisoned) return poisoned;
  if (rows.length === 0) return POISON;
  const text = rows[0]!.key.kind === 'text';
  const nested = rows[0]!.value.kind === 'table';
  const interpolation: Interpolation = e.interpolation ?? (text ? 'exact' : 'linear');
  const first = rows[0]!;
  const keys: (number | string)[] = [];
  const values: (number | TableData)[] = [];
  for (const { row, key, value } of rows) {
    if (text ? key.kind !== 'text' : key.kind !== 'quantity')
      return elaborator.problem('table-keys-differ', row.key.id, {});
    if (!text) {
      const [given, wanted] = [key as Quantity, first.key as Quantity];
      if (given.dimension !== wanted.dimension || given.point !== wanted.point)
        return elaborator.problem('table-keys-differ', row.key.id, {});
      const number = fixedNumber(elaborator, given, row.key.id);
      const before = keys[keys.length - 1];
      if (before !== undefined && !(number > (before as number)))
        return elaborator.problem('table-not-ascending', row.key.id, {});
      keys.push(number);
    } else {
      if (keys.includes((key as { text: string }).text))
        return elaborator.problem('duplicate-entry', row.key.id, { name: (key as { text: string }).text });
      keys.push((key as { text: string }).text);
    }
    if (nested) {
      if (value.kind !== 'table' || value.output.dimension !== (first.value as TableValue).output.dimension)
        return elaborator.problem('table-values-differ', row.value.id, {});
      values.push(value.data);
    } else {
      if (
        value.kind !== 'quantity' ||
        (first.value as Quantity).dimension !== value.dimension ||
        (first.value as Quantity).point !== value.point
      )
        return elaborator.problem('table-values-differ', row.value.id, { found: describeKind(value) });
      values.push(fixedNumber(elaborator, value, row.value.id));
    }
  }
  if (interpolation === 'loglog' || interpolation === 'semilog') {
    const bad = rows.find(
      (_, i) => !((keys[i] as number) > 0) || (interpolation === 'loglog' && !nested && !((values[i] as number) > 0)),
    );
    if (bad) return elaborator.problem('table-logarithm', bad.row.key.id, { interpolation });
  }
  const data: TableData = {
    interpolation,
    keys: text ? (keys as string[]) : Float64Array.from(keys as number[]),
    values: nested ? (values as TableData[]) : Float64Array.from(values as number[]),
  };
  const quantity = first.key as Quantity;
  const input: TableInput = {
    name: inputs[0] ?? null,
    text,
    dimension: text ? DIMENSIONLESS : quantity.dimension,
    point: !text && quantity.point,
    unit: text ? null : quantity.unit,
  };
  const inner = nested ? (first.value as TableValue) : null;
  const output = inner
    ? inner.output
    : {
        dimension: (first.value as Quantity).dimension,
        point: (first.value as Quantity).point,
        unit: (first.value as Quantity).unit,
      };
  return {
    kind: 'table',
    data,
    inputs: inner ? [input, ...inner.inputs] : [input],
    output,
    origin: origin(elaborator),
  };
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
