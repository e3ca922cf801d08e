/** Values asked for by their dotted names, in every configuration. */
import { nearest } from '../base/index.js';
import { ATTRIBUTES } from '../engine/elaboration/attributes.js';
import { printValue } from '../engine/explain.js';
import type { Quantity, Value } from '../engine/values/value.js';
import type { ConfigurationView } from '../findings/index.js';
import type { Entity } from '../model/namespace.js';
import type { Project } from '../project/project.js';
import { fromSI, readableUnit } from '../units/index.js';
import type { ValueReport } from './check-report.js';
import { printKey } from '../engine/evaluation/cell-key.js';

/** A value by its dotted name, in every configuration. */
export function valueReports(project: Project, name: string): ValueReport[] {
  return project.configurations.map(view => {
    const value = findValue(view, name);
    const read = (node: number): number => view.evaluation.number(node);
    const text = value ? printValue(read, value) : `there is no value ${name}`;
    return { name, ...boundsOf(view, value), text, configuration: view.name };
  });
}

/** A number, and how far it goes: by its tolerances, from end to end of a range, to any side. */
function boundsOf(
  { evaluation }: ConfigurationView,
  value: Value | undefined,
): Pick<ValueReport, 'value' | 'unit' | 'low' | 'high'> {
  const ends = endsOf(value);
  if (!ends) return { value: null, unit: '', low: null, high: null };
  const [lower, upper] = ends;
  const { readings } = evaluation;
  const read = (node: number): number => evaluation.number(node);
  const extreme = (node: number, sign: 1 | -1): number =>
    readings.isTolerant(node) ? readings.extreme(node, sign) : read(node);
  const unit = lower.unit ?? upper.unit ?? readableUnit(lower.dimension, read(upper.node), lower.point);
  const inUnit = (x: number): number | null =>
    Number.isFinite(x) ? fromSI(unit, x, { difference: !lower.point }) : null;
  const high = extreme(upper.node, -1);
  return {
    value: value?.kind === 'quantity' ? inUnit(read(value.node)) : null,
    unit: unit.symbol,
    low: inUnit(value?.kind === 'any-direction' ? -high : extreme(lower.node, 1)),
    high: inUnit(high),
  };
}

function endsOf(value: Value | undefined): readonly [Quantity, Quantity] | null {
  switch (value?.kind) {
    case 'quantity':
      return [value, value];
    case 'range':
      return [value.low, value.high];
    case 'any-direction':
      return [value.magnitude, value.magnitude];
    default:
      return null;
  }
}

/** The value behind a dotted name: of an entity, of the top, or below a structured value. */
function findValue(view: ConfigurationView, name: string): Value | undefined {
  const { evaluation } = view;
  const path = name.replace(/^#/, '').split('.');
  for (let length = path.length - 1; length >= 0; length--) {
    const entity =
      length === 0
        ? evaluation.namespace.root
        : (evaluation.namespace.resolvePath(path.slice(0, length), evaluation.namespace.root) ??
          evaluation.namespace.labelled(path.slice(0, length).join('.'))[0]);
    if (!entity) continue;
    const field = path[length]!;
    let value = evaluation.valueOf(entity, field) ?? evaluation.attribute(entity, field);
    for (const inner of path.slice(length + 1)) value = below(value, inner);
    if (value) return value;
  }
  return undefined;
}

function below(value: Value | undefined, name: string): Value | undefined {
  if (value?.kind === 'record') return value.entries.get(name);
  if (value?.kind === 'vector' && 'xyz'.includes(name))
    return {
      kind: 'quantity',
      node: value.nodes['xyz'.indexOf(name)]!,
      dimension: value.dimension,
      point: false,
      unit: value.unit,
    };
  if (value?.kind === 'range' && (name === 'low' || name === 'high')) return value[name];
  return undefined;
}

/** A name that no configuration has a value for, with the nearest that there is. */
export interface UnknownValue {
  readonly name: string;
  readonly nearest: string | null;
}

export function unknownValues(project: Project, names: readonly string[]): UnknownValue[] {
  return names
    .filter(name => project.configurations.every(view => findValue(view, name) === undefined))
    .map(name => ({ name, nearest: nearestValue(project, name) }));
}

/** In the block that the name begins with, else by the whole name, else by its last part. */
function nearestValue({ view, namespace }: Project, name: string): string | null {
  const dot = name.lastIndexOf('.');
  const [front, end] = [name.slice(0, Math.max(dot, 0)), name.slice(dot + 1)];
  const block = dot < 0 ? null : namespace.resolvePath(front.split('.'), namespace.root);
  if (block) {
    const near = nearest(end, namesIn(view, block));
    if (near !== null) return `${front}.${near}`;
  }
  const known = [...namespace.entities.values()].flatMap(entity =>
    namesIn(view, entity).map(each => `${entity.path}.${each}`),
  );
  const byEnd = new Map(known.map(path => [path.slice(path.lastIndexOf('.') + 1), path]));
  return nearest(name, known) ?? byEnd.get(end) ?? byEnd.get(nearest(end, byEnd.keys()) ?? '') ?? null;
}

/** What is written in a block, and what the language knows of a part. */
function namesIn({ evaluation }: ConfigurationView, block: Entity): string[] {
  const written = [...evaluation.cellsOf(block)].filter(({ item }) => item && 'annotations' in item);
  const known = block.kind === 'part' ? [...ATTRIBUTES.keys()] : [];
  return [...written.filter(({ item }) => item!.kind !== 'check').map(cell => printKey(cell.key)), ...known];
}
