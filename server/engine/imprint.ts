/**
 * Imprints of values: the same for every layout, place and spelling of units, another one where a number, a formula or
 * what is said of it is another. It tells what changed from what did not, and is no signature.
 */
import { contentHash, Rational } from '../base/index.js';
import { blockOfRows } from '../model/dependency.js';
import { NO_ANNOTATIONS, type Annotations, type Expression } from '../model/expression.js';
import type { ValueItem } from '../model/declaration.js';
import { dimensionName, exactLiteral, isUnit, parseUnit, type UnitScope } from '../units/index.js';
import { spellKey } from './evaluation/cell-key.js';
import type { Cell } from './evaluation/cell.js';

const DIGITS = 12;
/** What says where a node stands, and nothing of what it is. */
const PLACES: ReadonlySet<string> = new Set(['id', 'nameId']);

/** Of a value with all that it reads; null where that is in a data file, whose rows it does not see. */
export function imprintOf(cell: Cell, units: UnitScope): string | null {
  return readsRows(cell) ? null : contentHash(contentOf(cell, units, new Set())).slice(-DIGITS);
}

function readsRows(cell: Cell): boolean {
  const all = new Set([cell]);
  for (const at of all) for (const read of at.reads) all.add(read);
  return [...all].some(({ dependencies }) => dependencies.some(each => blockOfRows(each) !== null));
}

function contentOf(cell: Cell, units: UnitScope, above: Set<Cell>): string {
  if (above.has(cell) || !cell.item || !('value' in cell.item)) return spellKey(cell.key);
  above.add(cell);
  const read = [...new Set(cell.reads)].map(each => contentOf(each, units, above));
  const called = cell.calls.map(item => itemContent(item, units));
  above.delete(cell);
  return `(${[itemContent(cell.item, units), ...read, ...called].join(' ')})`;
}

function itemContent({ parameters, value, conditions, annotations }: ValueItem, units: UnitScope): string {
  return [parameters, value, conditions, said(annotations)].map(each => spelled(each, units)).join(' ');
}

/** What counts of what is said of a value: what kind of value it is, and not where it was taken from. */
function said({ basis, maturity }: Annotations): Annotations {
  return basis === undefined && maturity === undefined
    ? NO_ANNOTATIONS
    : { ...(basis === undefined ? {} : { basis }), ...(maturity === undefined ? {} : { maturity }) };
}

/** Data as one text, numbers by their exact value in the units of the SI. */
function spelled(data: unknown, units: UnitScope): string {
  if (Array.isArray(data)) return `[${data.map(each => spelled(each, units)).join(' ')}]`;
  if (typeof data !== 'object' || data === null) return JSON.stringify(data) ?? 'nothing';
  const node = data as Partial<Expression>;
  if (node.kind === 'number' && 'text' in node) return numberContent(node as Expression & { kind: 'number' }, units);
  const entries = Object.entries(data).filter(([name]) => !PLACES.has(name));
  return `{${entries.map(([name, value]) => `${name} ${spelled(value, units)}`).join(' ')}}`;
}

function numberContent({ text, unitText }: Expression & { kind: 'number' }, units: UnitScope): string {
  if (unitText === null) return Rational.parse(text)?.toString() ?? text;
  const unit = parseUnit(unitText, units);
  if (!isUnit(unit)) return `${text} ${unitText}`;
  return `${exactLiteral(unit, text)} ${dimensionName(unit.dimension)}${unit.isPoint ? ' point' : ''}`;
}
