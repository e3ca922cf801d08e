/**
 * Numbers that explain themselves: both sides of a row as printed, and a calculation as formula, numbers and result.
 */
import { Budget, isTooMuch } from '../base/index.js';
import { spanOf } from '../model/declaration.js';
import { children, type Expression } from '../model/expression.js';
import type { Entity } from '../model/namespace.js';
import {
  asDifference,
  formatMargin,
  formatNumber,
  formatQuantity,
  readableUnit,
  type Dimension,
  type Unit,
} from '../units/index.js';
import { Builder } from './values/builder.js';
import { printQuantity } from './values/describe.js';
import { Elaborator, MOST_STEPS_ASKED } from './elaboration/elaborate.js';
import type { Environment } from './elaboration/elaboration.js';
import type { Cell } from './evaluation/cell.js';
import type { Evaluation } from './evaluation/evaluation.js';
import { annotationsAt, type FactorUse } from './facts.js';
import type { Outcome } from './margin.js';
import type { Item, ValueItem } from '../model/declaration.js';
import { isHiddenEntry, type Quantity, type Value } from './values/value.js';

export interface Sides {
  readonly applied: string;
  readonly allowable: string;
  readonly margin: string;
  readonly unit: Unit | null;
}

/** Both sides of the comparison that governs, in one unit, and the margin as it is printed. */
export function printSides(outcome: Outcome): Sides {
  const { leaf } = outcome;
  if (!leaf)
    return {
      applied: outcome.passes === null ? 'undetermined' : outcome.passes ? 'true' : 'false',
      allowable: 'true',
      margin: outcome.passes === null ? 'undetermined' : outcome.passes ? 'holds' : 'fails',
      unit: null,
    };
  const unit = commonUnit(leaf.left, leaf.right, outcome.left, outcome.right);
  const print = (value: number, quantity: Quantity): string =>
    value === Infinity
      ? 'unbounded'
      : value !== value
        ? 'undetermined'
        : formatQuantity(value, quantity.dimension, { unit, point: quantity.point });
  return {
    applied: print(outcome.left, leaf.left),
    allowable: print(outcome.right, leaf.right),
    margin: printMargin(outcome, unit, leaf.left.dimension),
    unit,
  };
}

/** The unit both sides are printed in: the one written on the limit, else on the other side, else a readable one. */
export function commonUnit(left: Quantity, right: Quantity, leftValue: number, rightValue: number): Unit {
  const written = right.unit ?? left.unit;
  if (written && written.dimension === left.dimension) return written;
  const larger = [leftValue, rightValue].filter(Number.isFinite).reduce((x, y) => Math.max(x, Math.abs(y)), 0);
  return readableUnit(left.dimension, larger, left.point);
}

export function printMargin(outcome: Outcome, unit: Unit | null, dimension: Dimension): string {
  if (outcome.margin !== outcome.margin) return 'undetermined';
  if (outcome.margin === Infinity) return 'unbounded';
  if (outcome.kind === 'boolean') return outcome.passes ? 'holds' : 'fails';
  if (outcome.kind !== 'distance') return formatMargin(outcome.margin);
  return printDistance(outcome.margin, unit ? asDifference(unit) : readableUnit(dimension, outcome.margin));
}

/** A distance in its unit, three significant digits, rounded toward failure, with its sign. */
function printDistance(margin: number, unit: Unit): string {
  const value = margin / unit.factor;
  const symbol = distanceSymbol(unit);
  if (Math.abs(value) < 1e-12) return `+0 ${symbol}`.trim();
  const step = 10 ** (Math.floor(Math.log10(Math.abs(value))) - 2);
  const rounded = Math.floor(value / step + 1e-9) * step;
  return `${rounded < 0 ? '-' : '+'}${formatNumber(Math.abs(rounded), 3)} ${symbol}`.trim();
}

/** A distance between temperatures is no temperature: 5 K, or 9 dF. */
export function distanceSymbol(unit: Unit): string {
  return unit.symbol === 'degC' ? 'K' : unit.symbol === 'degF' ? 'dF' : unit.symbol;
}

/** One step of a worked calculation. */
export interface WorkedInput {
  readonly name: string;
  readonly text: string;
  readonly source: string | null;
  readonly place: { readonly file: string; readonly start: number; readonly end: number } | null;
}

export interface WorkedCalculation {
  /** As the engineer wrote it. */
  readonly formula: string;
  /** The same with numbers in place of names. */
  readonly numbers: string;
  readonly result: string;
  readonly inputs: readonly WorkedInput[];
}

/** Reads the text of a node; the caller knows the files. */
export type SourceText = (file: string, start: number, end: number) => string;

/** A value as it is printed anywhere: with its unit, a range or a table in short. */
export function printValue(read: (node: number) => number, value: Value): string {
  const quantity = (q: Quantity): string => printQuantity(read(q.node), q.dimension, q.unit, q.point, null);
  switch (value.kind) {
    case 'quantity':
      return quantity(value);
    case 'truth': {
      const number = read(value.node);
      return number !== number ? 'undetermined' : number === 1 ? 'true' : 'false';
    }
    case 'text':
      return `"${value.text}"`;
    case 'date':
      return value.text;
    case 'range':
      return `${quantity(value.low)} .. ${quantity(value.high)}`;
    case 'any-direction':
      return `${quantity(value.magnitude)} any`;
    case 'vector': {
      const unit =
        value.unit ?? readableUnit(value.dimension, Math.max(...value.nodes.map(node => Math.abs(read(node)))));
      return `(${value.nodes.map(node => formatNumber(read(node) / unit.factor)).join(', ')}) ${unit.symbol}`;
    }
    case 'list':
      return `[${value.items
        .slice(0, 6)
        .map(item => printValue(read, item))
        .join(', ')}${value.items.length > 6 ? `, … ${value.items.length} in all` : ''}]`;
    case 'record':
      return `{ ${[...value.entries]
        .filter(([name]) => !isHiddenEntry(name))
        .map(([name, entry]) => `${name}: ${printValue(read, entry)}`)
        .join('   ')} }`;
    case 'table':
      return `table of ${value.data.keys.length} rows`;
    case 'entity':
      return value.entity.path;
    case 'load':
      return value.name;
    case 'formula':
    case 'builtin':
      return 'a formula';
    case 'rows':
      return `${value.data.length} rows`;
    case 'poison':
      return 'undetermined';
  }
}

function valueUnlessTooMuch(elaborate: () => Value): Value | null {
  try {
    return elaborate();
  } catch (error) {
    if (isTooMuch(error)) return null;
    throw error;
  }
}

/** The calculation of a value, or of both sides of a check in its governing row; null where it is too long to show. */
export function workOut(
  evaluation: Evaluation,
  cell: Cell,
  expression: Expression,
  environment: (elaborator: Elaborator) => Environment | null,
  text: SourceText,
): WorkedCalculation | null {
  const item = cell.item as Item | null;
  if (!item) return null;
  return evaluation.outside(() => {
    const builder = new Builder(evaluation.arena);
    const budget = new Budget(MOST_STEPS_ASKED);
    const elaborator = new Elaborator(evaluation.host, builder, item, cell.scope, budget);
    elaborator.trace = new Map();
    const value = valueUnlessTooMuch(() => elaborator.expression(expression, environment(elaborator)));
    if (!value) return null;
    const read = (node: number): number => builder.value(node);
    const span = withBrackets(spanOf(item, expression.id), item.placement.file, text);
    const source = text(item.placement.file, span.start, span.end);
    const replacements: { start: number; end: number; text: string }[] = [];
    const inputs = new Map<string, WorkedInput>();
    const visit = (node: Expression): void => {
      const known = elaborator.trace!.get(node.id);
      if (node.kind === 'tolerance' && known?.kind === 'quantity') {
        const place = spanOf(item, node.id);
        replacements.push({
          start: place.start - span.start,
          end: place.end - span.start,
          text: printValue(read, known),
        });
        return;
      }
      if (
        known &&
        (node.kind === 'name' ||
          node.kind === 'member' ||
          node.kind === 'label' ||
          (node.kind === 'call' && known.kind === 'quantity' && node.callee.kind !== 'name') ||
          (node.kind === 'call' && isLetCall(elaborator, node)))
      ) {
        if (known.kind === 'quantity' || known.kind === 'vector') {
          const place = spanOf(item, node.id);
          const printed = printValue(read, known);
          replacements.push({ start: place.start - span.start, end: place.end - span.start, text: printed });
          const name = text(item.placement.file, place.start, place.end);
          if (!inputs.has(name))
            inputs.set(name, { name, text: printed, ...inputOrigin(evaluation, known, calledBy(elaborator, node)) });
          return;
        }
      }
      for (const child of children(node)) visit(child);
    };
    visit(expression);
    let numbers = source;
    for (const { start, end, text: replacement } of replacements.sort((x, y) => y.start - x.start))
      numbers = numbers.slice(0, start) + replacement + numbers.slice(end);
    return {
      formula: squeeze(source),
      numbers: squeeze(numbers),
      result: printValue(read, value),
      inputs: [...inputs.values()],
    };
  });
}

/** The brackets round its first and last operand belong to an expression, and to no node of it. */
function withBrackets(
  { start, end }: { readonly start: number; readonly end: number },
  file: string,
  text: SourceText,
): { readonly start: number; readonly end: number } {
  let [opened, closed] = [0, 0];
  for (const character of text(file, start, end)) {
    if (character === '(') opened++;
    else if (character === ')' && opened > 0) opened--;
    else if (character === ')') closed++;
  }
  const before = /(?:\(\s*)*$/.exec(text(file, Math.max(0, start - FARTHEST), start))![0];
  const after = /^(?:\s*\))*/.exec(text(file, end, end + FARTHEST))![0];
  return { start: start - lengthOf(before, '(', closed, -1), end: end + lengthOf(after, ')', opened, 1) };
}

/** Where brackets are looked for beside an expression. */
const FARTHEST = 80;

/** How much of a text holds so many brackets, from its beginning or its end. */
function lengthOf(text: string, bracket: string, count: number, direction: 1 | -1): number {
  const characters = direction === 1 ? [...text] : [...text].reverse();
  let left = count;
  const last = characters.findIndex(character => character === bracket && --left === 0);
  return last + 1;
}

function isLetCall(elaborator: Elaborator, node: Expression): boolean {
  return node.kind === 'call' && elaborator.trace?.get(node.callee.id)?.kind === 'formula';
}

function squeeze(text: string): string {
  return text.replace(/\s+/g, ' ').trim();
}

function calledBy(elaborator: Elaborator, node: Expression): Value | undefined {
  return node.kind === 'call' ? elaborator.trace?.get(node.callee.id) : undefined;
}

/** Where a number comes from: the value that it is, or the formula or table that was asked for it. */
function inputOrigin(
  evaluation: Evaluation,
  value: Value,
  called: Value | undefined,
): Pick<WorkedInput, 'source' | 'place'> {
  const origin = called?.kind === 'table' ? called.origin : null;
  if (origin) return originOf(evaluation, origin.entity, origin.item, origin.annotations);
  if (called?.kind === 'formula') return originOf(evaluation, called.scope, called.item, called.item.annotations);
  const slot = value.kind === 'quantity' ? value.node : -1;
  const detail = slot >= 0 ? evaluation.arena.details.get(slot) : undefined;
  const owner =
    detail?.kind === 'slot' ? (detail.owner as { cell?: Cell; path?: readonly string[]; item?: unknown }) : null;
  const cell = owner && 'cell' in owner && owner.cell ? owner.cell : (owner as Cell | null);
  const item = cell?.item as ValueItem | null | undefined;
  return item && 'annotations' in item
    ? originOf(evaluation, cell!.entity, item, annotationsAt(item, owner && 'path' in owner ? (owner.path ?? []) : []))
    : { source: null, place: null };
}

function originOf(
  evaluation: Evaluation,
  entity: Entity,
  item: ValueItem,
  annotations: ValueItem['annotations'],
): Pick<WorkedInput, 'source' | 'place'> {
  return {
    source: citationText(evaluation, entity, annotations),
    place: { file: item.placement.file, ...spanOf(item, item.id) },
  };
}

/** `Launch guide 4.1, table 4-2`. */
export function citationText(
  evaluation: Evaluation,
  entity: Entity,
  annotations: ValueItem['annotations'],
): string | null {
  const { source } = annotations;
  if (!source) return null;
  const document = source.document ? evaluation.namespace.resolvePath(source.document.path, entity) : null;
  const revision = document ? evaluation.valueOf(document, 'revision') : undefined;
  const name = document
    ? `${document.name}${revision?.kind === 'text' ? ` ${revision.text}` : ''}`
    : (source.document?.path.join('.') ?? '');
  return [name, source.text].filter(Boolean).join(', ') || null;
}

/** The factors of a row as a report prints them: "FlightMetal.ultimate 1.4 × FlightMetal.fitting 1.15". */
export function factorChain(uses: readonly FactorUse[]): string[] {
  return uses.flatMap(use =>
    Array.from(
      { length: use.times },
      () =>
        `${use.entity.name}.${use.item.name} ${formatNumber(use.value)}${use.side === 'allowable' ? ' on the allowable' : ''}`,
    ),
  );
}
