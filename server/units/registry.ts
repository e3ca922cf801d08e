import { Rational, bug } from '../base/index.js';
import type { Dimension } from './dimensions/dimension.js';
import { DIMENSIONLESS, canRaise, multiply, power } from './dimensions/dimension.js';
import { ExactFactor } from './dimensions/exact.js';
import { FORCE, TORQUE } from './quantities.js';
import type { UnitFactor } from './syntax.js';
import { canonicalSigns, readUnit } from './syntax.js';
import { UNIT_ROWS } from './tables/index.js';
import type { Prefix } from './tables/prefixes.js';
import { ASCII_MICRO, PREFIXES } from './tables/prefixes.js';
import type { UnitRow } from './tables/row.js';
import type { Unit, UnitSense } from './dimensions/unit.js';
import { asDifference } from './dimensions/unit.js';

/** Every symbol that is read, prefixed forms and other spellings included, and what it stands for. */
interface Entry {
  readonly row: UnitRow;
  readonly prefix?: Prefix;
  /** The one spelling that is printed. */
  readonly canonical: string;
}

const ENTRIES: ReadonlyMap<string, Entry> = collectEntries();
const units = new Map<string, Unit>();

/** The unit of a table symbol or one of its prefixed forms or spellings; undefined when there is none. */
export function findUnit(symbol: string): Unit | undefined {
  const entry = ENTRIES.get(symbol);
  if (entry === undefined) return undefined;
  let unit = units.get(entry.canonical);
  if (unit === undefined) {
    unit = buildUnit(entry);
    units.set(entry.canonical, unit);
  }
  return unit;
}

/** The printed spelling of a symbol (`um` → `µm`, `l` → `L`); unknown symbols stay as they are. */
export function canonicalSymbol(symbol: string): string {
  return ENTRIES.get(symbol)?.canonical ?? symbol;
}

/** Every symbol of the tables in its printed spelling, prefixed forms included, in the order of the tables. */
export function tableSymbols(): readonly string[] {
  return [...ENTRIES].filter(([symbol, entry]) => symbol === entry.canonical).map(([symbol]) => symbol);
}

/** The product of factors, in one unit named `symbol`; undefined when an exponent gets out of hand. */
export function compoundUnit(
  symbol: string,
  factors: readonly UnitFactor[],
  find: (symbol: string) => Unit | undefined,
): Unit | undefined {
  let dimension: Dimension = DIMENSIONLESS;
  let exact = ExactFactor.ONE;
  const parts: { readonly unit: Unit; readonly factor: UnitFactor }[] = [];
  for (const factor of factors) {
    const unit = find(factor.symbol) ?? bug(`an unknown unit in a compound: ${factor.symbol}`);
    const { num, den } = factor.exponent;
    if (!canRaise(unit.dimension, num, den)) return undefined;
    dimension = multiply(dimension, power(unit.dimension, num, den));
    exact = exact.mul(unit.exact.pow(factor.exponent));
    parts.push({ unit, factor });
  }
  const sense = compoundSense(dimension, parts);
  return { symbol, dimension, exact, factor: exact.toNumber(), isPoint: false, ...(sense && { sense }) };
}

function collectEntries(): Map<string, Entry> {
  const entries = new Map<string, Entry>();
  const add = (symbol: string, entry: Entry): void => {
    if (entries.has(symbol)) bug(`two units are spelt ${symbol}`);
    entries.set(symbol, entry);
  };
  for (const row of UNIT_ROWS) {
    add(row.symbol, { row, canonical: row.symbol });
    for (const spelling of row.spellings ?? []) add(spelling, { row, canonical: row.symbol });
    for (const prefix of prefixesOf(row)) {
      const entry: Entry = { row, prefix, canonical: prefix.symbol + row.symbol };
      const starts = prefix.symbol === '\u00b5' ? [prefix.symbol, ASCII_MICRO] : [prefix.symbol];
      for (const start of starts) for (const end of [row.symbol, ...(row.spellings ?? [])]) add(start + end, entry);
    }
  }
  return entries;
}

function prefixesOf(row: UnitRow): readonly Prefix[] {
  if (row.prefixes === undefined) return [];
  return row.prefixes
    .split(' ')
    .map(symbol => PREFIXES.find(prefix => prefix.symbol === symbol) ?? bug(`no prefix ${symbol} (${row.symbol})`));
}

function buildUnit({ row, prefix, canonical }: Entry): Unit {
  const { dimension, exact } = meaningOf(row);
  const scaled = prefix === undefined ? exact : exact.scaled(Rational.from(`1e${prefix.exponent}`));
  return Object.freeze({
    symbol: canonical,
    name: (prefix?.name ?? '') + row.name,
    dimension,
    exact: scaled,
    factor: scaled.toNumber(),
    isPoint: row.offset !== undefined,
    ...(row.offset !== undefined && { offset: Rational.from(row.offset) }),
    ...(row.sense !== undefined && { sense: row.sense }),
  });
}

function meaningOf(row: UnitRow): { readonly dimension: Dimension; readonly exact: ExactFactor } {
  if (typeof row.is !== 'string') return { dimension: row.is, exact: ExactFactor.ONE };
  const [amount = '', text = ''] = row.is.split(' ');
  const [above = '', below = '1'] = amount.split('/');
  const factors = readUnit(canonicalSigns(text));
  if ('message' in factors) bug(`${row.symbol}: ${factors.message}`);
  const unit = compoundUnit(text, factors, differenceOf) ?? bug(`${row.symbol}: exponents`);
  const number = ExactFactor.of(Rational.from(above).div(Rational.from(below)), row.pi === true ? 1 : 0);
  return { dimension: unit.dimension, exact: unit.exact.mul(number) };
}

function differenceOf(symbol: string): Unit | undefined {
  const unit = findUnit(symbol);
  return unit && asDifference(unit);
}

/** A product keeps what its parts tell beyond their dimension, where it can still matter. */
function compoundSense(
  dimension: Dimension,
  parts: readonly { readonly unit: Unit; readonly factor: UnitFactor }[],
): UnitSense | undefined {
  const senses = parts.map(({ unit }) => unit.sense);
  if (senses.includes('octave')) return 'octave';
  if (senses.includes('angular')) return 'angular';
  if (dimension !== TORQUE) return undefined;
  if (senses.includes('energy')) return 'energy';
  return parts.length === 2 && parts.some(({ unit }) => unit.dimension === FORCE) ? 'torque' : undefined;
}
