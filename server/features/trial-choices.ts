/**
 * Other values that stand to reason for one: others of its block's kind, the rows of the table it is picked from, the
 * steps of its range.
 */
import type { TableData } from '../engine/operations/table.js';
import type { DataColumn, Quantity, TableValue, Value } from '../engine/values/value.js';
import { expressionsOf, itemsOf } from '../findings/text-search.js';
import { spanOf, type Item, type ValueItem } from '../model/declaration.js';
import { walk, type Binder, type Call, type Expression } from '../model/expression.js';
import type { Entity } from '../model/namespace.js';
import type { Project } from '../project/project.js';
import { DIMENSIONLESS, fromSI, isUnit, parseUnit, type Unit } from '../units/index.js';
import { inScene } from './evaluate.js';
import { traced } from './resolve.js';
import { usesOf } from './uses.js';
import { OWN_VALUE } from '../engine/evaluation/cell-key.js';
import { columnsOf } from '../model/statements.js';

/** Most choices offered for one value. */
const MOST_CHOICES = 40;

/** The rows of a table: texts, or numbers in SI with their unit. */
type Rows =
  | { readonly kind: 'texts'; readonly texts: readonly string[] }
  | { readonly kind: 'numbers'; readonly numbers: readonly number[]; readonly unit: Unit | null };

/** An expression that picks rows of a table. */
interface Pick {
  readonly key: Expression;
  readonly rows: Rows;
}

/** Texts that may stand in the place of a value as it is written. */
export function choicesFor(project: Project, entity: Entity, item: ValueItem): string[] {
  const value = project.view.evaluation.valueOf(entity, item.name);
  if (value?.kind === 'entity')
    return project.namespace
      .ofKind(value.entity.kind)
      .map(other => other.path)
      .slice(0, MOST_CHOICES);
  const picked = picksIn(project, entity, item).find(({ key }) => isLiteral(key));
  if (picked) return written(project, item, picked.key, picked.rows);
  const literal = literalOf(item.value);
  if (!literal) return [];
  const rows =
    keysGivenTo(project, entity, item) ??
    (value?.kind === 'quantity' ? (steps(project, entity, item, value) ?? columnOf(project, value)) : null);
  return rows ? written(project, item, literal, rows) : [];
}

function isLiteral(expression: Expression): expression is Expression & { kind: 'number' | 'text' } {
  return (
    expression.kind === 'number' ||
    (expression.kind === 'text' && expression.segments.every(segment => typeof segment === 'string'))
  );
}

/** The number or text that a value is, within its tolerance. */
export function literalOf(value: Expression): Expression | null {
  if (value.kind === 'tolerance') return literalOf(value.nominal);
  return isLiteral(value) ? value : null;
}

/** A value's text with each row in the place of one literal. */
function written(project: Project, item: ValueItem, literal: Expression, rows: Rows): string[] {
  const text = project.text(item.placement.file) ?? '';
  const [whole, part] = [spanOf(item, item.value.id), spanOf(item, literal.id)];
  const unit = literal.kind === 'number' && literal.unitText !== null ? literal.unitText : null;
  const texts =
    rows.kind === 'texts'
      ? [...new Set(rows.texts)].map(quoted)
      : [...new Set(rows.numbers)].map(number => numberText(project, number, unit, rows.unit));
  return texts
    .slice(0, MOST_CHOICES)
    .map(row => text.slice(whole.start, part.start) + row + text.slice(part.end, whole.end));
}

function quoted(text: string): string {
  return `"${text.replace(/["\\{]/g, '\\$&')}"`;
}

const DIGITS = 12;

/** In the unit in which the value is written, else in that of the table. */
export function numberText(project: Project, si: number, unitText: string | null, own: Unit | null): string {
  const parsed = unitText === null ? null : parseUnit(unitText, project.view.evaluation.units);
  const unit = parsed && isUnit(parsed) ? parsed : own;
  const number = String(Number((unit ? fromSI(unit, si) : si).toPrecision(DIGITS)));
  return unit && unit.symbol !== '' ? `${number} ${unitText ?? unit.symbol}` : number;
}

// ---- keys of tables -------------------------------------------------------------------------------------------------

/**
 * Every key in an item with the rows it picks from: of tables that are called, and of data files whose rows are
 * compared.
 */
function picksIn(project: Project, entity: Entity, item: Item): Pick[] {
  const picks: Pick[] = [];
  let values: ReadonlyMap<number, Value> | null | undefined;
  const valueOf = (node: Expression): Value | undefined =>
    (values === undefined ? (values = traced(project, entity, item)) : values)?.get(node.id);
  for (const root of expressionsOf(item))
    walk(root, node => {
      if (node.kind !== 'call') return;
      const callee =
        node.callee.kind === 'name' || node.callee.kind === 'member' || node.callee.kind === 'table'
          ? valueOf(node.callee)
          : undefined;
      if (callee?.kind === 'table') picks.push(...picksOfCall(callee, node));
      for (const { binders, condition } of node.arguments)
        if (condition) picks.push(...picksOfCondition(project, binders, condition, valueOf));
    });
  return picks;
}

function picksOfCall(table: TableValue, { arguments: given }: Call): Pick[] {
  return given.flatMap((argument, i) => {
    const at = argument.name === null ? i : table.inputs.findIndex(({ name }) => name === argument.name);
    const rows = at >= 0 && at < table.inputs.length ? rowsOfInput(table, at) : null;
    return rows ? [{ key: argument.value, rows }] : [];
  });
}

/** The keys of an input that takes no others. */
function rowsOfInput(table: TableValue, at: number): Rows | null {
  let data: readonly TableData[] = [table.data];
  for (let level = 0; level < at; level++) data = data.flatMap(inner => inner.values as readonly TableData[]);
  if (table.inputs[at]!.text) return { kind: 'texts', texts: data.flatMap(({ keys }) => keys as readonly string[]) };
  return data.every(({ interpolation }) => interpolation === 'exact')
    ? {
        kind: 'numbers',
        numbers: data.flatMap(({ keys }) => [...(keys as Float64Array)]),
        unit: table.inputs[at]!.unit,
      }
    : null;
}

/** `for r in Bolts where r.size == bolt: …` */
function picksOfCondition(
  project: Project,
  binders: readonly Binder[],
  condition: Expression,
  valueOf: (node: Expression) => Value | undefined,
): Pick[] {
  const picks: Pick[] = [];
  walk(condition, node => {
    if (node.kind !== 'binary' || node.operator !== '==') return;
    for (const [side, key] of [
      [node.left, node.right],
      [node.right, node.left],
    ] as const) {
      if (side.kind !== 'member' || side.receiver.kind !== 'name') continue;
      const { name } = side.receiver;
      const binder = binders.find(candidate => candidate.name === name);
      const column = binder && dataColumns(project, valueOf(binder.domain))?.get(side.name);
      if (column) picks.push({ key, rows: rowsOfColumn(column) });
    }
  });
  return picks;
}

function dataColumns(project: Project, domain: Value | undefined): ReadonlyMap<string, DataColumn> | null {
  const rows =
    domain?.kind === 'entity' && columnsOf(domain.entity).length > 0
      ? project.view.evaluation.outside(() => project.view.evaluation.host.rows(domain.entity))
      : domain;
  return rows?.kind === 'rows' && rows.data.ready && rows.data.length <= MOST_ROWS ? rows.data.columns : null;
}

/** Longer files are measurements and no catalogue. */
const MOST_ROWS = 10_000;

function rowsOfColumn(column: DataColumn): Rows {
  return column.kind === 'texts'
    ? { kind: 'texts', texts: column.texts }
    : { kind: 'numbers', numbers: [...new Set(column.numbers)].sort((x, y) => x - y), unit: column.unit };
}

/** The rows that a value picks where it is read: in its own part first, which may have it of a kind, then anywhere. */
function keysGivenTo(project: Project, entity: Entity, item: ValueItem): Rows | null {
  const names = (key: Expression): boolean => (key.kind === 'name' || key.kind === 'member') && key.name === item.name;
  for (const [at, inner] of itemsBelow(entity)) {
    const found = inner !== item && picksIn(project, at, inner).find(({ key }) => key.kind === 'name' && names(key));
    if (found) return found.rows;
  }
  for (const use of usesOf(project, [{ kind: 'value', entity, item }])) {
    const found =
      use.item &&
      picksIn(project, use.entity, use.item).find(({ key }) => names(key) && spanOf(use.item!, key.id).end === use.end);
    if (found) return found.rows;
  }
  return null;
}

/** Items that see the values of a part without its name, with the place they stand in. */
function* itemsBelow(entity: Entity): Iterable<readonly [Entity, Item]> {
  if (entity.kind === 'file') return;
  for (const item of entity.values.values()) yield [entity, item];
  for (const item of itemsOf(entity.declaration)) if (!('path' in item)) yield [entity, item];
  for (const member of entity.members.values()) yield* itemsBelow(member);
}

// ---- numbers --------------------------------------------------------------------------------------------------------

/** The ends of a design variable's range, in SI. */
export function endsOf(project: Project, entity: Entity, item: ValueItem): readonly [number, number] | null {
  const { within } = item.annotations;
  if (!within) return null;
  return inScene(project, scene => {
    const elaborator = scene.elaborator(item, entity);
    const range = elaborator.expression(within, null);
    return range.kind === 'range'
      ? [elaborator.builder.value(range.low.node), elaborator.builder.value(range.high.node)]
      : null;
  });
}

/** The steps of a design variable's range, those nearest to it. */
function steps(project: Project, entity: Entity, item: ValueItem, value: Quantity): Rows | null {
  const { step } = item.annotations;
  const ends = endsOf(project, entity, item);
  if (!ends || !step) return null;
  return inScene(project, scene => {
    const elaborator = scene.elaborator(item, entity);
    const by =
      step.kind === 'number'
        ? project.view.evaluation.literal(step)
        : sized(elaborator.expression(step, null), node => elaborator.builder.value(node));
    if (by === null || !(by > 0)) return null;
    const [low, high] = ends;
    const count = Math.floor(((high - low) / by) * (1 + NEAR) + NEAR);
    if (!Number.isFinite(count)) return null;
    const at = Math.round((project.view.evaluation.number(value.node) - low) / by);
    const first = Math.max(0, Math.min(at - MOST_CHOICES / 2, count + 1 - MOST_CHOICES));
    return {
      kind: 'numbers',
      numbers: Array.from({ length: Math.min(MOST_CHOICES, count + 1 - first) }, (_, i) => low + (first + i) * by),
      unit: value.unit,
    };
  });
}

function sized(value: Value, read: (node: number) => number): number | null {
  return value.kind === 'quantity' ? read(value.node) : null;
}

const NEAR = 1e-9;

/** The column of a table in which a number stands: a stock gauge, the area of a thread. */
function columnOf(project: Project, value: Quantity): Rows | null {
  const { evaluation } = project.view;
  const number = evaluation.number(value.node);
  const holds = (rows: Rows | null, unit: { readonly dimension: unknown; readonly point: boolean }): rows is Rows =>
    rows?.kind === 'numbers' &&
    unit.dimension === value.dimension &&
    unit.point === value.point &&
    rows.numbers.some(other => Math.abs(other - number) <= NEAR * Math.abs(number));
  for (const table of project.namespace.ofKind('table')) {
    for (const column of dataColumns(project, { kind: 'entity', entity: table })?.values() ?? []) {
      const rows = rowsOfColumn(column);
      if (
        holds(rows, {
          dimension: rows.kind === 'numbers' ? (rows.unit?.dimension ?? DIMENSIONLESS) : null,
          point: rows.kind === 'numbers' && (rows.unit?.isPoint ?? false),
        })
      )
        return rows;
    }
  }
  const tables = [...project.namespace.root.values.keys()].map(name =>
    evaluation.valueOf(project.namespace.root, name),
  );
  for (const table of [
    ...tables,
    ...project.namespace.ofKind('table').map(entity => evaluation.resultOf(entity, OWN_VALUE)),
  ]) {
    if (table?.kind !== 'table') continue;
    const columns = table.inputs.map((input, i) => ({ rows: rowsOfInput(table, i), ...input }));
    const found = columns.every(({ rows }) => rows)
      ? [...columns, { rows: outputs(table), ...table.output }].find(column => holds(column.rows, column))
      : null;
    if (found) return found.rows;
  }
  return null;
}

/** What a table gives, ascending. */
function outputs(table: TableValue): Rows {
  let data: readonly TableData[] = [table.data];
  for (let level = 1; level < table.inputs.length; level++)
    data = data.flatMap(inner => inner.values as readonly TableData[]);
  return {
    kind: 'numbers',
    numbers: data.flatMap(({ values }) => [...(values as Float64Array)]).sort((x, y) => x - y),
    unit: table.output.unit,
  };
}
