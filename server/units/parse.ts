import { Rational } from '../base/index.js';
import type { UnitProblem } from './problem.js';
import { canonicalSymbol, compoundUnit, findUnit } from './registry.js';
import { explainCompound, explainUnknown } from './slips.js';
import type { SyntaxProblem, UnitFactor } from './syntax.js';
import { SYMBOLS, canonicalSigns, readUnit } from './syntax.js';
import type { Unit } from './dimensions/unit.js';
import { asDifference } from './dimensions/unit.js';

export type UnitScope = ReadonlyMap<string, Unit>;

type Find = (symbol: string) => Unit | undefined;

const CACHE_LIMIT = 20_000;
const NO_SCOPE: UnitScope = new Map();
const caches = new WeakMap<UnitScope, Map<string, Unit | UnitProblem>>();

/**
 * Reads one unit token: `m/s^2`, `1/K`, `W/(m*K)`, `N·m`, `MPa*m^(1/2)`, `°C`.
 * `scope` holds units that a project declares, by symbol; it goes before the tables and must not change afterwards.
 * The same text in the same scope gives the same object.
 */
export function parseUnit(text: string, scope: UnitScope = NO_SCOPE): Unit | UnitProblem {
  let cache = caches.get(scope);
  if (cache === undefined || cache.size >= CACHE_LIMIT) caches.set(scope, (cache = new Map()));
  let result = cache.get(text);
  if (result === undefined) {
    result = readUncached(canonicalUnitText(text), scope);
    cache.set(text, result);
  }
  return result;
}

export function isUnit(result: Unit | UnitProblem): result is Unit {
  return 'dimension' in result;
}

/** One spelling for each unit text: `N·m` → `N*m`, `m/s²` → `m/s^2`, `um` → `µm`, `m^0.5` → `m^(1/2)`. Never fails. */
export function canonicalUnitText(text: string): string {
  return canonicalSigns(text)
    .replace(SYMBOLS, canonicalSymbol)
    .replace(/\^(-?)(\d+)\.5(?!\d)/g, (_, sign: string, whole: string) => `^(${sign}${2 * Number(whole) + 1}/2)`);
}

/**
 * A unit that a project declares: `amount` times `of`, in exact decimals, as in `unit bay = 42.5 mm`.
 * Undefined when the amount is no positive decimal number.
 */
export function declareUnit(symbol: string, amount: string, of: Unit): Unit | undefined {
  const number = Rational.parse(amount);
  if (number === undefined || number.sign <= 0) return undefined;
  const { dimension, sense, exact } = asDifference(of);
  const scaled = exact.scaled(number);
  return Object.freeze({
    symbol,
    dimension,
    exact: scaled,
    factor: scaled.toNumber(),
    isPoint: false,
    ...(sense && { sense }),
  });
}

function readUncached(text: string, scope: UnitScope): Unit | UnitProblem {
  const find: Find = symbol => scope.get(symbol) ?? findUnit(symbol);
  const single = find(text);
  if (single !== undefined) return single;
  const factors = readUnit(text);
  if ('message' in factors) return explainUnreadable(text, factors, scope, find);
  const unknown = factors.find(({ symbol }) => find(symbol) === undefined);
  if (unknown !== undefined) return explainUnknown(text, factors, unknown, find);
  return explainCompound(text, factors) ?? combined(text, factors, find);
}

/** A misspelt symbol is named before the structure around it: `MPa√(m)`. What is suggested is itself mended. */
function explainUnreadable(text: string, problem: SyntaxProblem, scope: UnitScope, find: Find): UnitProblem {
  const whole: UnitFactor = { symbol: text, exponent: { num: 1, den: 1 }, start: 0 };
  const explained = explainUnknown(text, [whole], whole, find);
  if (explained.kind === 'slip') return explained;
  if (problem.suggestion === undefined) return { kind: 'syntax', ...problem };
  const mended = readUncached(problem.suggestion, scope);
  if (isUnit(mended)) return { kind: 'syntax', ...problem };
  const { suggestion, alternatives } = mended;
  return {
    kind: 'syntax',
    message: `${problem.message} ${mended.message}`,
    ...(suggestion !== undefined && { suggestion }),
    ...(alternatives !== undefined && { alternatives }),
  };
}

function combined(text: string, factors: readonly UnitFactor[], find: Find): Unit | UnitProblem {
  const unit = compoundUnit(text, factors, symbol => {
    const found = find(symbol);
    return found && asDifference(found);
  });
  return unit === undefined
    ? { kind: 'syntax', message: `The exponents of \`${text}\` are too large for a unit.` }
    : Object.freeze(unit);
}
