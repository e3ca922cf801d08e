/** Functions that the language itself can't express. Everything else is a formula of the library, written in Gusset. */
import { onBlocks } from '../../model/dependency.js';
import type { Call } from '../../model/expression.js';
import type { Entity } from '../../model/namespace.js';
import { DIMENSIONLESS, multiply, parseDimension, power, type Dimension } from '../../units/index.js';
import { dimensionWords, isLoad } from '../values/describe.js';
import { KNOTS, type BuiltinFunction, type Elaboration, type Environment } from './elaboration.js';
import { fold } from './fold.js';
import { binary } from './operators.js';
import { rainflow } from './rainflow.js';
import { eachValue, type EachValue } from './sweeps.js';
import { positional, quantityAt, sameDimension } from './arguments.js';
import { combined, corners, loadTerm, rootSumSquare } from './loads.js';
import type { OperandLabel } from '../values/arena.js';
import { Op } from '../operations/op.js';
import { integrate, type TableData } from '../operations/table.js';
import {
  describeKind,
  isPoison,
  POISON,
  type Condition,
  type ListValue,
  type LoadTerm,
  type Quantity,
  type TableValue,
  type Value,
  type Vector,
} from '../values/value.js';

export const CONSTANTS: ReadonlyMap<string, number> = new Map([
  ['pi', Math.PI],
  ['e', Math.E],
]);

const TEMPERATURE = parseDimension('temperature')!;

/** A function of one number without dimension, or of an angle. */
function plain(name: string, op: Op, doc: string): [string, BuiltinFunction] {
  return [
    name,
    {
      signature: `${name}(x)`,
      doc,
      call: (elaborator, call, env) => {
        const x = one(elaborator, call, env, name);
        if (!x) return POISON;
        if (x.dimension !== DIMENSIONLESS)
          return elaborator.problem('dimensionless-expected', call.arguments[0]!.value.id, {
            name,
            found: dimensionWords(x),
          });
        return elaborator.quantity(elaborator.builder.node(op, x.node), DIMENSIONLESS);
      },
    },
  ];
}

/** A function of one number that keeps or roots its dimension. */
function keeping(name: string, op: Op, root: number, doc: string): [string, BuiltinFunction] {
  return [
    name,
    {
      signature: `${name}(x)`,
      doc,
      call: (elaborator, call, env) => {
        const x = one(elaborator, call, env, name);
        if (!x) return POISON;
        if (x.point) return elaborator.problem('point-in-product', call.arguments[0]!.value.id);
        return elaborator.quantity(
          elaborator.builder.node(op, x.node),
          root === 1 ? x.dimension : power(x.dimension, 1, root),
          root === 1 ? x.unit : null,
        );
      },
    },
  ];
}

function one(elaborator: Elaboration, call: Call, env: Environment | null, name: string): Quantity | null {
  const values = positional(elaborator, call, env, 1, name);
  if (!values) return null;
  return quantityAt(elaborator, values[0]!, call.arguments[0]!.value.id);
}

interface Folded {
  readonly value: Value;
  /** What it is called where it is the largest or the smallest. */
  readonly label: () => OperandLabel;
  readonly id: number;
}

/**
 * All values that a fold runs over: several arguments, one list, or comprehensions. `between` is told of what lies
 * between the values that a comprehension lists.
 */
function folded(
  elaborator: Elaboration,
  call: Call,
  env: Environment | null,
  between: ((each: EachValue) => void) | null = null,
): Folded[] | null {
  const values: Folded[] = [];
  let complete = true;
  for (const argument of call.arguments) {
    if (argument.form === 'named' || argument.form === 'unknown') {
      elaborator.problem('unknown-argument', argument.id, {
        name: argument.name ?? '',
        known: 'plain values, a list, or `for x in …: …`',
      });
      return null;
    }
    if (argument.form === 'each') {
      const each = eachValue(elaborator, argument, env, between !== null);
      if (!each) {
        complete = false;
        continue;
      }
      for (const entry of each.listed) values.push({ ...entry, id: argument.value.id });
      if (each.partial) between?.(each);
      continue;
    }
    const value = elaborator.expression(argument.value, env);
    if (value.kind === 'list' && value.partial) between?.(NOT_FOLLOWED);
    if (isPoison(value)) complete = false;
    else if (value.kind === 'list')
      for (const [i, item] of value.items.entries())
        values.push({ value: item, label: () => `item ${i + 1}`, id: argument.value.id });
    else if (value.kind === 'vector')
      values.push(
        ...value.nodes.map((node, i) => ({
          value: elaborator.quantity(node, value.dimension, value.unit),
          label: () => 'xyz'[i]!,
          id: argument.value.id,
        })),
      );
    else {
      const place = { owner: elaborator.item, id: argument.value.id };
      values.push({ value, label: () => place, id: argument.value.id });
    }
  }
  return complete && !values.some(entry => isPoison(entry.value)) ? values : null;
}

/** A list that holds some items of a range: what lies between is not known to a fold over it. */
const NOT_FOLLOWED: EachValue = { listed: [], between: [], sources: [], followed: false, partial: true };

function extreme(name: 'min' | 'max', op: Op.Minimum | Op.Maximum, doc: string): [string, BuiltinFunction] {
  return [
    name,
    {
      signature: `${name}(x, y, …) or ${name}(for x in xs: …)`,
      doc,
      call: (elaborator, call, env) => {
        const between: EachValue[] = [];
        const values = folded(elaborator, call, env, each => between.push(each));
        if (!values) return POISON;
        if (values.length === 0) return elaborator.problem('empty-fold', call.id, { name });
        const quantities = sameDimension(elaborator, values);
        if (!quantities) return POISON;
        let result = quantities[0]!.node;
        let label = values[0]!.label;
        for (const [i, quantity] of quantities.entries()) {
          if (i === 0) continue;
          const first = label;
          result = elaborator.builder.extreme(op, result, quantity.node, () => [first(), values[i]!.label()]);
          label = () => '';
        }
        return { ...quantities[0]!, node: extremeBetween(elaborator, op, result, between, call.id) };
      },
    },
  ];
}

/**
 * The extreme over what lies between the listed values as well; the listed ones stand for those that a `where` leaves
 * out.
 */
function extremeBetween(
  elaborator: Elaboration,
  op: Op.Minimum | Op.Maximum,
  listed: number,
  between: readonly EachValue[],
  id: number,
): number {
  const { builder } = elaborator;
  let result = listed;
  for (const each of between) {
    if (!each.followed) return notFollowed(elaborator, id);
    for (const { value, test } of each.between) {
      if (value.kind !== 'quantity') return notFollowed(elaborator, id);
      const node = test === null ? value.node : builder.node(Op.Select, test, value.node, listed);
      const most = builder.sweptExtreme(op === Op.Maximum ? Op.High : Op.Low, node, each.sources, isSwept(elaborator));
      if (most !== node) result = builder.node(op, result, most);
    }
  }
  return result;
}

/** Whether a sweep around runs over a range. */
function isSwept(elaborator: Elaboration): boolean {
  return elaborator.sweptKeys.length > 0;
}

function notFollowed(elaborator: Elaboration, id: number): number {
  return elaborator.builder.undetermined(
    'worst-case-not-bounded',
    { sources: '', operation: 'a filter, a count or an index' },
    { owner: elaborator.item, id },
  );
}

function truthFold(name: 'all' | 'any', op: Op.And | Op.Or, start: number, doc: string): [string, BuiltinFunction] {
  return [
    name,
    {
      signature: `${name}(for x in xs: condition)`,
      doc,
      call: (elaborator, call, env) => {
        const between: EachValue[] = [];
        const values = folded(elaborator, call, env, each => between.push(each));
        if (!values) return POISON;
        if (values.length === 0) return elaborator.problem('empty-fold', call.id, { name });
        const parts: Condition[] = [];
        let node = elaborator.builder.constant(start);
        for (const { value, id } of values) {
          if (value.kind !== 'truth')
            return elaborator.problem('condition-expected', id, { found: describeKind(value) });
          parts.push(value.condition ?? { kind: 'boolean', node: value.node });
          node = elaborator.builder.node(op, node, value.node);
        }
        for (const each of between) {
          const truth = truthBetween(elaborator, name, each, call.id);
          parts.push({ kind: 'boolean', node: truth });
          node = elaborator.builder.node(op, node, truth);
        }
        return elaborator.truth(node, { kind: name === 'all' ? 'and' : 'or', parts });
      },
    },
  ];
}

/** Whether a condition holds all over, or somewhere in, what lies between the listed values. */
function truthBetween(elaborator: Elaboration, name: 'all' | 'any', each: EachValue, id: number): number {
  const { builder } = elaborator;
  let result: number | null = null;
  for (const { value, test } of each.followed ? each.between : []) {
    const condition =
      value.kind === 'truth' ? (value.condition ?? { kind: 'boolean' as const, node: value.node }) : null;
    const left = condition && score(elaborator, condition);
    if (left === null) return notFollowed(elaborator, id);
    // Where the filter leaves it out it holds (or, of some, does not).
    const counted =
      test === null ? left : builder.node(Op.Select, test, left, builder.constant(name === 'all' ? 1 : -1));
    const op = name === 'all' ? Op.Low : Op.High;
    const extreme = builder.sweptExtreme(op, counted, each.sources, isSwept(elaborator));
    const holds = builder.node(Op.LessEqual, builder.constant(0), extreme);
    result = result === null ? holds : builder.node(name === 'all' ? Op.And : Op.Or, result, holds);
  }
  return result ?? notFollowed(elaborator, id);
}

function reading(name: string, op: Op.Low | Op.High, doc: string): [string, BuiltinFunction] {
  return [
    name,
    {
      signature: `${name}(x)`,
      doc,
      call: (elaborator, call, env) => {
        const x = one(elaborator, call, env, name);
        return x ? { ...x, node: elaborator.builder.reading(op, x.node, elaborator.builder.constant(1)) } : POISON;
      },
    },
  ];
}

function statistical(name: string, op: Op.RssLow | Op.RssHigh, doc: string): [string, BuiltinFunction] {
  return [
    name,
    {
      signature: `${name}(x, n)`,
      doc,
      call: (elaborator, call, env) => {
        const values = positional(elaborator, call, env, 2, name);
        if (!values) return POISON;
        const x = quantityAt(elaborator, values[0]!, call.arguments[0]!.value.id);
        const n = quantityAt(elaborator, values[1]!, call.arguments[1]!.value.id);
        if (!x || !n) return POISON;
        if (n.dimension !== DIMENSIONLESS)
          return elaborator.problem('dimensionless-expected', call.arguments[1]!.value.id, {
            name,
            found: dimensionWords(n),
          });
        return { ...x, node: elaborator.builder.reading(op, x.node, n.node) };
      },
    },
  ];
}

function tableArgument(elaborator: Elaboration, call: Call, env: Environment | null, name: string): TableValue | null {
  const values = positional(elaborator, call, env, 1, name);
  if (!values) return null;
  const value = values[0]!;
  if (value.kind !== 'table' || value.inputs.length !== 1 || value.inputs[0]!.text) {
    elaborator.problem('table-expected', call.arguments[0]!.value.id, { name, found: describeKind(value) });
    return null;
  }
  return value;
}

/** A number taken from a whole table: still known to come from it. */
function ofTable(elaborator: Elaboration, table: TableValue, value: number, dimension: Dimension): Quantity {
  const data: TableData = { interpolation: 'exact', keys: Float64Array.of(0), values: Float64Array.of(value) };
  return elaborator.quantity(
    elaborator.builder.table(data, { place: null, origin: table.origin, inputs: [] }, elaborator.builder.constant(0)),
    dimension,
    dimension === table.output.dimension ? table.output.unit : null,
    table.output.point,
  );
}

function unknownArgument(
  elaborator: Elaboration,
  call: Call,
  name: string,
): { name: string; value: Call['arguments'][number] } | null {
  const argument = call.arguments[0];
  if (call.arguments.length !== 1 || !argument || argument.form !== 'unknown' || !argument.name) {
    elaborator.problem('unknown-expected', call.id, {
      name,
      example: name === 'reserve' ? 'reserve(k: k * load <= strength)' : 'root(x in 0 mm .. 5 mm: f(x))',
    });
    return null;
  }
  return { name: argument.name, value: argument };
}

/**
 * How far a condition is from being met: at least zero where it holds. Compound conditions take their parts' smallest
 * or largest.
 */
function score(elaborator: Elaboration, condition: Condition): number | null {
  const { builder } = elaborator;
  switch (condition.kind) {
    case 'compare': {
      const { operator, left, right } = condition;
      if (operator === '==' || operator === '!=') return null;
      const [small, large] = operator === '<=' || operator === '<' ? [left.node, right.node] : [right.node, left.node];
      // The comparison's own tolerance counts here as well.
      const slack = builder.node(
        Op.Multiply,
        builder.constant(1e-9),
        builder.node(Op.Maximum, builder.node(Op.Absolute, small), builder.node(Op.Absolute, large)),
      );
      return builder.node(Op.Add, builder.node(Op.Subtract, large, small), slack);
    }
    case 'and':
    case 'range':
    case 'or': {
      const parts = condition.parts.map(part => score(elaborator, part));
      if (parts.some(part => part === null)) return null;
      return (parts as number[]).reduce((x, y) =>
        builder.node(condition.kind === 'or' ? Op.Maximum : Op.Minimum, x, y),
      );
    }
    case 'boolean':
      return builder.node(Op.Subtract, condition.node, builder.constant(0.5));
  }
}

const reserveFunction: BuiltinFunction = {
  signature: 'reserve(k: condition)',
  doc: 'The largest factor on the loads (k, which multiplies them and nothing else) at which the condition still holds. 0 when it fails without load, unbounded when it never fails.',
  call: (elaborator, call, env) => {
    const unknown = unknownArgument(elaborator, call, 'reserve');
    if (!unknown) return POISON;
    const { builder } = elaborator;
    const parameter = builder.parameter(1);
    const from = builder.length;
    const value = elaborator.expression(unknown.value.value, {
      name: unknown.name,
      value: elaborator.quantity(parameter, DIMENSIONLESS),
      parent: env,
    });
    if (isPoison(value)) return value;
    if (value.kind !== 'truth')
      return elaborator.problem('condition-expected', unknown.value.value.id, { found: describeKind(value) });
    const result = score(elaborator, value.condition ?? { kind: 'boolean', node: value.node });
    if (result === null) return elaborator.problem('condition-without-order', unknown.value.value.id);
    return elaborator.quantity(builder.solve(Op.Reserve, parameter, from, result), DIMENSIONLESS);
  },
};

const rootFunction: BuiltinFunction = {
  signature: 'root(x in lo .. hi: f(x))',
  doc: 'The zero of f between two bounds at which its sign differs.',
  call: (elaborator, call, env) => {
    const unknown = unknownArgument(elaborator, call, 'root');
    if (!unknown) return POISON;
    if (!unknown.value.range)
      return elaborator.problem('unknown-expected', call.id, {
        name: 'root',
        example: 'root(x in 0 mm .. 5 mm: f(x))',
      });
    const range = elaborator.expression(unknown.value.range, env);
    if (isPoison(range)) return range;
    if (range.kind !== 'range')
      return elaborator.problem('range-expected', unknown.value.range.id, { found: describeKind(range) });
    const { builder } = elaborator;
    const parameter = builder.parameter(builder.value(range.low.node));
    const from = builder.length;
    const value = elaborator.expression(unknown.value.value, {
      name: unknown.name,
      value: { ...range.low, node: parameter },
      parent: env,
    });
    const f = quantityAt(elaborator, value, unknown.value.value.id);
    if (!f) return POISON;
    return { ...range.low, node: builder.solve(Op.Root, parameter, from, f.node, range.low.node, range.high.node) };
  },
};

/** What a later version calculates: its inside is checked, its value is undetermined and says so. */
function later(name: string, signature: string, doc: string, dimension: Dimension): [string, BuiltinFunction] {
  return [
    name,
    {
      signature,
      doc,
      call: (elaborator, call, env) => {
        for (const argument of call.arguments)
          if (argument.form === 'positional' || argument.form === 'named') elaborator.expression(argument.value, env);
        elaborator.problem('not-evaluated-yet', call.id, { name });
        return elaborator.quantity(
          elaborator.builder.undetermined('not-evaluated-yet', { name }, { owner: elaborator.item, id: call.id }),
          dimension,
        );
      },
    },
  ];
}

/** `count` items that vary as `quantity` does, each on its own. */
function copies(elaborator: Elaboration, quantity: Quantity, count: number, id: number): Value[] {
  return Array.from({ length: count }, (_, i) => {
    const node = elaborator.builder.copy(quantity.node, `#${id}.${i}`, owner => elaborator.host.repeats(owner));
    return node === undefined ? elaborator.problem('cannot-repeat', id) : { ...quantity, node };
  });
}

/**
 * All values added up, and at the end what rounding dropped on the way: a small one among large ones that cancel counts
 * (Neumaier, Zeitschrift für Angewandte Mathematik und Mechanik 54, 1974).
 */
function total(elaborator: Elaboration, [first, ...others]: readonly { value: Value; id: number }[]): Value {
  const { builder } = elaborator;
  let dropped: readonly number[] = [];
  const sum = others.reduce<Value>((before, { value, id }) => {
    if (isPoison(before)) return before;
    const after = binary(elaborator, '+', before, value, id, id, id);
    const [x, y] = [numbersOf(before), numbersOf(value)];
    const roundings = x.map((node, i) => builder.node(Op.Rounding, node, y[i] ?? 0));
    dropped = roundings.map((node, i) => (dropped[i] === undefined ? node : builder.node(Op.Add, dropped[i], node)));
    return after;
  }, first!.value);
  // The rounding of one addition is lost again when it is added.
  if (others.length < 2) return sum;
  const compensated = (node: number, i: number): number => builder.node(Op.Add, node, dropped[i]!);
  if (sum.kind === 'quantity') return { ...sum, node: compensated(sum.node, 0) };
  if (sum.kind !== 'vector') return sum;
  const [x, y, z] = sum.nodes;
  return { ...sum, nodes: [compensated(x, 0), compensated(y, 1), compensated(z, 2)] };
}

/** The numbers of a quantity or a vector. */
function numbersOf(value: Value): readonly number[] {
  return value.kind === 'quantity' ? [value.node] : value.kind === 'vector' ? value.nodes : [];
}

const independentFunction: BuiltinFunction = {
  signature: 'independent(n, x)',
  doc: 'A list of n items that vary as x does, each on its own: `sum(independent(2, strip))` is two strips, not one strip twice.',
  call: (elaborator, call, env) => {
    if (call.arguments.length !== 2 || call.arguments.some(argument => argument.form !== 'positional'))
      return elaborator.problem('argument-count', call.id, {
        name: 'independent',
        wanted: '2',
        found: String(call.arguments.length),
      });
    const n = quantityAt(elaborator, elaborator.expression(call.arguments[0]!.value, env), call.arguments[0]!.value.id);
    const x = quantityAt(elaborator, elaborator.expression(call.arguments[1]!.value, env), call.arguments[1]!.value.id);
    if (!n || !x) return POISON;
    const count = elaborator.demand(n.node);
    if (!Number.isInteger(count) || count < 1 || count > 1000)
      return elaborator.problem('count-expected', call.arguments[0]!.value.id, { found: String(count) });
    return { kind: 'list', items: copies(elaborator, x, count, call.id) };
  },
};

export const BUILTINS: ReadonlyMap<string, BuiltinFunction> = new Map<string, BuiltinFunction>([
  keeping('sqrt', Op.SquareRoot, 2, 'Square root.'),
  keeping('cbrt', Op.CubeRoot, 3, 'Cube root.'),
  keeping('abs', Op.Absolute, 1, 'Magnitude.'),
  plain('exp', Op.Exp, 'e to the power of x.'),
  plain('ln', Op.Ln, 'Natural logarithm.'),
  plain('log10', Op.Log10, 'Decimal logarithm.'),
  plain('sin', Op.Sin, 'Sine of an angle.'),
  plain('cos', Op.Cos, 'Cosine of an angle.'),
  plain('tan', Op.Tan, 'Tangent of an angle.'),
  plain('asin', Op.Asin, 'Angle of a sine.'),
  plain('acos', Op.Acos, 'Angle of a cosine.'),
  plain('atan', Op.Atan, 'Angle of a tangent.'),
  plain('floor', Op.Floor, 'Next whole number below.'),
  plain('ceil', Op.Ceil, 'Next whole number above.'),
  plain('round', Op.Round, 'Nearest whole number.'),
  [
    'sign',
    {
      signature: 'sign(x)',
      doc: '−1, 0 or 1.',
      call: (elaborator, call, env) => {
        const x = one(elaborator, call, env, 'sign');
        return x ? elaborator.quantity(elaborator.builder.node(Op.Sign, x.node), DIMENSIONLESS) : POISON;
      },
    },
  ],
  [
    'atan2',
    {
      signature: 'atan2(y, x)',
      doc: 'Angle of a point.',
      call: (elaborator, call, env) => {
        const values = positional(elaborator, call, env, 2, 'atan2');
        const quantities =
          values &&
          sameDimension(
            elaborator,
            values.map((value, i) => ({ value, id: call.arguments[i]!.value.id })),
          );
        return quantities
          ? elaborator.quantity(
              elaborator.builder.node(Op.Atan2, quantities[0]!.node, quantities[1]!.node),
              DIMENSIONLESS,
            )
          : POISON;
      },
    },
  ],
  extreme('min', Op.Minimum, 'Smallest; remembers which argument won.'),
  extreme('max', Op.Maximum, 'Largest; remembers which argument won.'),
  [
    'sum',
    {
      signature: 'sum(for x in xs: …)',
      doc: 'Sum of a list or of a comprehension.',
      call: (elaborator, call, env) => {
        const values = folded(elaborator, call, env);
        if (!values) return POISON;
        if (values.length === 0) return elaborator.problem('empty-fold', call.id, { name: 'sum' });
        return total(elaborator, values);
      },
    },
  ],
  ['fold', fold],
  ['rainflow', rainflow],
  truthFold('all', Op.And, 1, 'True when every condition holds.'),
  truthFold('any', Op.Or, 0, 'True when one condition holds.'),
  [
    'count',
    {
      signature: 'count(xs) or count(for x in xs: …)',
      doc: 'How many items a list or a comprehension has.',
      call: (elaborator, call, env) => {
        const argument = call.arguments[0];
        if (!argument || call.arguments.length !== 1)
          return elaborator.problem('argument-count', call.id, {
            name: 'count',
            wanted: '1',
            found: String(call.arguments.length),
          });
        if (argument.form === 'each') {
          const values = eachValue(elaborator, argument, env);
          return values
            ? elaborator.quantity(elaborator.builder.constant(values.listed.length), DIMENSIONLESS)
            : POISON;
        }
        const value = elaborator.expression(argument.value, env);
        const rows =
          value.kind === 'entity' && (value.entity.kind === 'table' || value.entity.kind === 'results')
            ? elaborator.host.rows(value.entity)
            : value;
        if (isPoison(rows)) return rows;
        const length = rows.kind === 'list' ? rows.items.length : rows.kind === 'rows' ? rows.data.length : null;
        return length === null
          ? elaborator.problem('not-a-list', argument.value.id, { found: describeKind(value) })
          : elaborator.quantity(elaborator.builder.constant(length), DIMENSIONLESS);
      },
    },
  ],
  [
    'list',
    {
      signature: 'list(for x in xs where …: …)',
      doc: 'The values of a comprehension.',
      call: (elaborator, call, env) => {
        let partial = false;
        const values = folded(elaborator, call, env, each => (partial ||= each.partial));
        return values ? { kind: 'list', items: values.map(entry => entry.value), partial } : POISON;
      },
    },
  ],
  [
    'area',
    {
      signature: 'area(table)',
      doc: 'Exact integral of a table over its whole input, by its own interpolation.',
      call: (elaborator, call, env) => {
        const table = tableArgument(elaborator, call, env, 'area');
        return table
          ? ofTable(
              elaborator,
              table,
              integrate(table.data),
              multiply(table.output.dimension, table.inputs[0]!.dimension),
            )
          : POISON;
      },
    },
  ],
  [
    'maximum',
    {
      signature: 'maximum(table)',
      doc: 'Largest value of a table.',
      call: (elaborator, call, env) => {
        const table = tableArgument(elaborator, call, env, 'maximum');
        return table
          ? ofTable(elaborator, table, Math.max(...(table.data.values as Float64Array)), table.output.dimension)
          : POISON;
      },
    },
  ],
  [
    'minimum',
    {
      signature: 'minimum(table)',
      doc: 'Smallest value of a table.',
      call: (elaborator, call, env) => {
        const table = tableArgument(elaborator, call, env, 'minimum');
        return table
          ? ofTable(elaborator, table, Math.min(...(table.data.values as Float64Array)), table.output.dimension)
          : POISON;
      },
    },
  ],
  ['reserve', reserveFunction],
  ['root', rootFunction],
  [
    'rss',
    {
      signature: 'rss(x, y, …) or rss(for x in xs: …)',
      doc: 'Root of the sum of squares; of loads, loads that act together without a common phase.',
      call: (elaborator, call, env) => {
        const values = folded(elaborator, call, env);
        if (!values) return POISON;
        if (values.length === 0) return elaborator.problem('empty-fold', call.id, { name: 'rss' });
        if (values.every(entry => isLoad(entry.value))) {
          const terms = values.map(entry => loadTerm(elaborator, entry.value, entry.id));
          if (terms.includes(null)) return POISON;
          return combined(elaborator, 'rss', terms as LoadTerm[], call.id) ?? POISON;
        }
        const quantities = sameDimension(elaborator, values);
        return quantities ? rootSumSquare(elaborator, quantities, 0, call.id) : POISON;
      },
    },
  ],
  [
    'corners',
    {
      signature: 'corners(loads)',
      doc: 'Every combination of signs and directions that the loads can take.',
      call: (elaborator, call, env) => {
        const values = positional(elaborator, call, env, 1, 'corners');
        return values ? corners(elaborator, values[0]!, call.arguments[0]!.value.id) : POISON;
      },
    },
  ],
  [
    'knots',
    {
      signature: 'knots(range)',
      doc: 'Both ends of a range and every breakpoint between them of the tables that the swept expression asks.',
      call: (elaborator, call, env) => {
        const values = positional(elaborator, call, env, 1, 'knots');
        if (!values) return POISON;
        const value = values[0]!;
        if (value.kind === 'quantity') return { kind: 'list', items: [value] };
        if (value.kind !== 'range')
          return elaborator.problem('range-expected', call.arguments[0]!.value.id, { found: describeKind(value) });
        return { kind: 'record', entries: new Map<string, Value>([[KNOTS, value]]) };
      },
    },
  ],
  [
    'nominal',
    {
      signature: 'nominal(x)',
      doc: 'x without its tolerances.',
      call: (elaborator, call, env) => {
        const x = one(elaborator, call, env, 'nominal');
        return x ? { ...x, node: elaborator.builder.nominal(x.node) } : POISON;
      },
    },
  ],
  reading('low', Op.Low, 'Lowest value within the tolerances.'),
  reading('high', Op.High, 'Highest value within the tolerances.'),
  statistical(
    'rss_low',
    Op.RssLow,
    'Mean less n standard deviations; every tolerance reached must state its distribution.',
  ),
  statistical(
    'rss_high',
    Op.RssHigh,
    'Mean plus n standard deviations; every tolerance reached must state its distribution.',
  ),
  ['independent', independentFunction],
  later(
    'probability',
    'probability(condition)',
    'Probability that a condition holds over the stated distributions.',
    DIMENSIONLESS,
  ),
  later('sensitivity', 'sensitivity(of, to)', 'Exact derivative of one value by another.', DIMENSIONLESS),
  [
    'point',
    {
      signature: 'point(T)',
      doc: 'A difference counted from absolute zero as a point of temperature: point(300 K).',
      call: (elaborator, call, env) => {
        const x = one(elaborator, call, env, 'point');
        if (!x) return POISON;
        if (x.dimension !== TEMPERATURE || x.point)
          return elaborator.problem('point-where-difference', call.arguments[0]!.value.id);
        return elaborator.quantity(x.node, TEMPERATURE, null, true);
      },
    },
  ],
  [
    'absolute',
    {
      signature: 'absolute(T)',
      doc: 'A point of temperature as the difference from absolute zero, for products and powers.',
      call: (elaborator, call, env) => {
        const x = one(elaborator, call, env, 'absolute');
        if (!x) return POISON;
        if (x.dimension !== TEMPERATURE || !x.point)
          return elaborator.problem('difference-where-point', call.arguments[0]!.value.id);
        return elaborator.quantity(x.node, TEMPERATURE);
      },
    },
  ],
  [
    'mean',
    {
      signature: 'mean(x, y, …) or mean(for x in xs: …)',
      doc: 'Arithmetic mean, of points of temperature as well.',
      call: (elaborator, call, env) => {
        const values = folded(elaborator, call, env);
        if (!values) return POISON;
        if (values.length === 0) return elaborator.problem('empty-fold', call.id, { name: 'mean' });
        const quantities = sameDimension(elaborator, values);
        if (!quantities) return POISON;
        const { builder } = elaborator;
        const total = quantities.map(quantity => quantity.node).reduce((x, y) => builder.node(Op.Add, x, y));
        return { ...quantities[0]!, node: builder.node(Op.Divide, total, builder.constant(quantities.length)) };
      },
    },
  ],
  [
    'dot',
    {
      signature: 'dot(a, b)',
      doc: 'Scalar product.',
      call: (elaborator, call, env) => {
        const [a, b] = vectors(elaborator, call, env, 'dot') ?? [];
        if (!a || !b) return POISON;
        const { builder } = elaborator;
        const products = a.nodes.map((node, i) => builder.node(Op.Multiply, node, b.nodes[i]!));
        return elaborator.quantity(
          products.reduce((x, y) => builder.node(Op.Add, x, y)),
          multiply(a.dimension, b.dimension),
        );
      },
    },
  ],
  [
    'cross',
    {
      signature: 'cross(a, b)',
      doc: 'Vector product.',
      call: (elaborator, call, env) => {
        const [a, b] = vectors(elaborator, call, env, 'cross') ?? [];
        if (!a || !b) return POISON;
        const { builder } = elaborator;
        const term = (i: number, j: number): number =>
          builder.node(
            Op.Subtract,
            builder.node(Op.Multiply, a.nodes[i]!, b.nodes[j]!),
            builder.node(Op.Multiply, a.nodes[j]!, b.nodes[i]!),
          );
        return elaborator.vector([term(1, 2), term(2, 0), term(0, 1)], multiply(a.dimension, b.dimension));
      },
    },
  ],
  [
    'norm',
    {
      signature: 'norm(a)',
      doc: 'Length of a vector.',
      call: (elaborator, call, env) => {
        const values = positional(elaborator, call, env, 1, 'norm');
        const a = values?.[0];
        if (!a) return POISON;
        if (a.kind !== 'vector')
          return elaborator.problem('vector-expected', call.arguments[0]!.value.id, { found: describeKind(a) });
        return rootSumSquare(
          elaborator,
          a.nodes.map(node => elaborator.quantity(node, a.dimension, a.unit)),
          0,
          call.id,
        );
      },
    },
  ],
  [
    'parts',
    {
      signature: 'parts(kind)',
      doc: 'Every part that is of a kind.',
      call: (elaborator, call, env) => {
        const values = positional(elaborator, call, env, 1, 'parts');
        const kind = values?.[0];
        if (!kind) return POISON;
        if (kind.kind !== 'entity' || kind.entity.kind !== 'kind')
          return elaborator.problem('kind-expected', call.arguments[0]!.value.id, { found: describeKind(kind) });
        elaborator.host.dependsOn(onBlocks('part'));
        return entities(elaborator.host.namespace.ofKind('part').filter(part => part.base === kind.entity));
      },
    },
  ],
  [
    'children',
    {
      signature: 'children(part)',
      doc: 'The parts directly inside a part.',
      call: (elaborator, call, env) => {
        const values = positional(elaborator, call, env, 1, 'children');
        const part = values?.[0];
        if (!part) return POISON;
        if (part.kind !== 'entity')
          return elaborator.problem('part-expected', call.arguments[0]!.value.id, { found: describeKind(part) });
        elaborator.host.dependsOn(onBlocks('part'));
        return entities(part.entity.children('part'));
      },
    },
  ],
  [
    'file',
    {
      signature: 'file("path")',
      doc: 'A file of the project: data of a table, a report, a certificate.',
      call: (elaborator, call, env) => positional(elaborator, call, env, 1, 'file')?.[0] ?? POISON,
    },
  ],
]);

function entities(list: readonly Entity[]): ListValue {
  return {
    kind: 'list',
    items: list.map(entity => ({ kind: 'entity', entity })),
    labels: list.map(entity => entity.name),
  };
}

function vectors(elaborator: Elaboration, call: Call, env: Environment | null, name: string): [Vector, Vector] | null {
  const values = positional(elaborator, call, env, 2, name);
  if (!values) return null;
  for (const [i, value] of values.entries()) {
    if (value.kind !== 'vector') {
      elaborator.problem('vector-expected', call.arguments[i]!.value.id, { found: describeKind(value) });
      return null;
    }
  }
  return values as [Vector, Vector];
}
