/** Units behind numbers and `as`, and the types of parameters and columns. */
import { COLUMN_TYPES, PARAMETER_TYPES, wordRow } from '../../language/index.js';
import { endOf, kindOf, nodesOf, operatorsBefore, type Open, type Operator } from '../../syntax/tolerant/tree.js';
import { dimensionName, NAMED_QUANTITIES, tableSymbols, unitsOfDimension, type Unit } from '../../units/index.js';
import { dimensionOf } from '../evaluate.js';
import { KIND, rank, type Offers } from './offers.js';

const USUAL_UNITS = [
  ...['mm', 'm', 'kg', 'g', 'N', 'kN', 'MPa', 'GPa', 'Pa', 'degC', 'K', 's', 'Hz', 'g0', 'W', 'N*m', '%', 'deg'],
  ...['mm^2', 'in', 'lbf', 'lbm', 'psi'],
];

/** Whether the caret touches a number, which may go on. */
export function touchesNumber({ caret: { last, word, wordStart, base } }: Offers): boolean {
  return word === '' && kindOf(last) === 'NUMBER' && endOf(last!) === wordStart - base;
}

/** Behind a number, and brackets round numbers: units of the dimension that is due, else the usual ones. */
export function units(offers: Offers, path: readonly Open[]): void {
  const behind = path.at(-1)?.node;
  const hasUnits = behind && [...nodesOf(behind)].some(({ node }) => node.token('unit') !== null);
  if (!offers.caret.onLine || hasUnits) return;
  const expected = offers.due(path);
  const glued = touchesNumber(offers);
  // Behind `± 0` a number goes on, and a unit that pops up would be taken by accident.
  const isZeroSpread = path.at(-1)?.role === 'Toleranced.spread' && offers.caret.last?.image === '0';
  if (glued && (expected === null || isZeroSpread)) return;
  const space = glued ? ' ' : '';
  if (expected) {
    unitsOfDimension(expected.dimension)
      .filter(({ isPoint, symbol }) => !expected.point || isPoint || symbol === 'K')
      .forEach((each, i) => unit(offers, each, `0${rank(i)}`, space));
  } else symbols(offers);
  for (const [name, own] of offers.context.project.view.evaluation.units)
    if (!expected || own.dimension === expected.dimension) unit(offers, own, '0z', space, name);
}

function symbols(offers: Offers): void {
  let i = 0;
  for (const symbol of USUAL_UNITS) offers.add(symbol, KIND.unit, `1${rank(i++)}`);
  for (const symbol of tableSymbols()) offers.add(symbol, KIND.unit, `2${rank(i++)}`);
}

function unit(offers: Offers, { symbol, name, dimension }: Unit, sort: string, space: string, label = symbol): void {
  offers.add(label, KIND.unit, sort, { insert: space + label, detail: name || dimensionName(dimension) });
}

/** Behind `as`: units of the value before it. */
export function conversionUnits(offers: Offers, { start, end }: Operator): void {
  const { scene, caret, entity, env } = offers.sight;
  const value = dimensionOf(scene.value(caret.source.slice(start, end), entity, env));
  if (!value) return [...tableSymbols()].forEach((symbol, i) => offers.add(symbol, KIND.unit, `1${rank(i)}`));
  unitsOfDimension(value.dimension)
    .filter(({ isPoint }) => !value.point || isPoint)
    .forEach((each, i) => unit(offers, each, `0${rank(i)}`, ''));
}

/** The `as` that a unit is due behind; null elsewhere. */
export function conversion(path: readonly Open[]): Operator | null {
  const [outer, inner] = path.slice(-2);
  if (!outer || inner?.role !== 'Arithmetic.operands' || inner.node.read !== null) return null;
  const operator = operatorsBefore(outer.node).at(-1);
  return operator?.sign === 'as' ? operator : null;
}

/** Behind the colon of a parameter, a `given` value or a result. */
export function types(offers: Offers): void {
  NAMED_QUANTITIES.forEach(({ name, doc }, i) => offers.add(name, KIND.class, `0${rank(i)}`, { documentation: doc }));
  offers.words(PARAMETER_TYPES, '2', saidOfType, KIND.class);
}

/** Behind the `as` of a column. */
export function columnTypes(offers: Offers): void {
  offers.words(COLUMN_TYPES, '0', saidOfType, KIND.class);
  symbols(offers);
}

const saidOfType = (word: string): string | undefined => wordRow(word, 'type')?.documentation;
