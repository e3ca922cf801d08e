import { editDistance } from '../base/index.js';
import type { Dimension } from './dimensions/dimension.js';
import type { UnitProblem } from './problem.js';
import { ACCELERATION, DOSE, FORCE, MASS, TEMPERATURE } from './quantities.js';
import { findUnit, tableSymbols } from './registry.js';
import type { UnitFactor } from './syntax.js';
import { READABLE } from './tables/readable.js';
import type { Slip } from './tables/slips.js';
import { SLIPS } from './tables/slips.js';
import type { Unit } from './dimensions/unit.js';

type Find = (symbol: string) => Unit | undefined;

/** Compound units that read well but say something nobody means. */
export function explainCompound(text: string, factors: readonly UnitFactor[]): UnitProblem | undefined {
  return squaredGrams(text, factors) ?? chargePerTemperature(text, factors) ?? perMillikelvin(text, factors);
}

/**
 * One sentence for a unit that reads well but has the wrong dimension, where a mix-up is likely: `C` where a
 * temperature is due is the coulomb. Undefined where there is nothing to say beyond the dimensions.
 */
export function unitHint(unit: Unit, expected: Dimension): string | undefined {
  return MIX_UPS.find(mixUp => mixUp.symbol === unit.symbol && mixUp.expected === expected)?.says;
}

const MIX_UPS: readonly { readonly symbol: string; readonly expected: Dimension; readonly says: string }[] = [
  { symbol: 'C', expected: TEMPERATURE, says: '`C` is the coulomb; degrees Celsius are `degC`.' },
  { symbol: 'F', expected: TEMPERATURE, says: '`F` is the farad; degrees Fahrenheit are `degF`.' },
  { symbol: 'deg', expected: TEMPERATURE, says: '`deg` is the angle; temperatures are `degC` or `degF`.' },
  { symbol: 'g', expected: ACCELERATION, says: '`g` is the gram; standard gravity is `g0`.' },
  { symbol: 'lbf', expected: MASS, says: '`lbf` is a force; the pound of mass is `lbm`.' },
  { symbol: 'lbm', expected: FORCE, says: '`lbm` is a mass; the pound of force is `lbf`.' },
  { symbol: 'ozf', expected: MASS, says: '`ozf` is a force; the ounce of mass is `ozm`.' },
  { symbol: 'ozm', expected: FORCE, says: '`ozm` is a mass; the ounce of force is `ozf`.' },
  { symbol: 'kg', expected: FORCE, says: '`kg` is a mass; its weight is `kgf`.' },
  { symbol: 'rad', expected: DOSE, says: '`rad` is the angle; the rad of absorbed dose is `rd`.' },
];

/** Names the unit that is likely meant by a text with a symbol nobody knows. */
export function explainUnknown(
  text: string,
  factors: readonly UnitFactor[],
  unknown: UnitFactor,
  find: Find,
): UnitProblem {
  const { symbol } = unknown;
  const slip = SLIPS.get(symbol);
  if (slip !== undefined) return knownSlip(text, factors, unknown, slip);
  const twice = doubled(symbol, find);
  const meant = twice === undefined ? misspelt(symbol, find) : undefined;
  if (meant !== undefined) {
    const suggestion = replaced(text, unknown, meant);
    return { kind: 'slip', message: `\`${symbol}\` is no unit; did you mean \`${suggestion}\`?`, suggestion };
  }
  const near = twice ?? nearest(symbol);
  const where = symbol === text ? '' : ` in \`${text}\``;
  if (near === undefined) {
    return {
      kind: 'unknown',
      message: `\`${symbol}\`${where} is no unit. A project can declare it: \`unit ${symbol} = …\`.`,
    };
  }
  const suggestion = replaced(text, unknown, near);
  return { kind: 'unknown', message: `\`${symbol}\`${where} is no unit; did you mean \`${suggestion}\`?`, suggestion };
}

/** `g^2/Hz`: a spectral density of the gram is never meant. */
function squaredGrams(text: string, factors: readonly UnitFactor[]): UnitProblem | undefined {
  const gram = factors.find(({ symbol }) => symbol === 'g');
  const hertz = factors.find(({ symbol, exponent }) => symbol === 'Hz' && exponent.num < 0);
  if (gram === undefined || hertz === undefined) return undefined;
  const suggestion = replaced(text, gram, 'g0');
  return { kind: 'slip', message: `\`g\` is the gram; standard gravity is \`g0\`: \`${suggestion}\`.`, suggestion };
}

/** `W/(m*C)`, `1/F`: below the line, coulomb and farad are mistaken degrees. */
function chargePerTemperature(text: string, factors: readonly UnitFactor[]): UnitProblem | undefined {
  const degree = factors.find(({ symbol, exponent }) => (symbol === 'C' || symbol === 'F') && exponent.num < 0);
  if (degree === undefined) return undefined;
  const suggestion = replaced(text, degree, `deg${degree.symbol}`);
  const [unit, scale] = degree.symbol === 'C' ? ['coulomb', 'Celsius'] : ['farad', 'Fahrenheit'];
  return {
    kind: 'slip',
    message: `\`${degree.symbol}\` is the ${unit}; a degree ${scale} is \`deg${degree.symbol}\`: \`${suggestion}\`.`,
    suggestion,
  };
}

/** `W/mK`: the millikelvin where metre times kelvin is meant. */
function perMillikelvin(text: string, factors: readonly UnitFactor[]): UnitProblem | undefined {
  const millikelvin = factors.find(({ symbol, exponent }) => symbol === 'mK' && exponent.num < 0);
  if (millikelvin === undefined || !factors.some(({ symbol }) => symbol.endsWith('W'))) return undefined;
  const suggestion = replaced(text, millikelvin, 'm*K');
  return {
    kind: 'slip',
    message: `\`mK\` is the millikelvin; metre times kelvin is \`m*K\`: \`${suggestion}\`.`,
    suggestion,
  };
}

function knownSlip(text: string, factors: readonly UnitFactor[], unknown: UnitFactor, slip: Slip): UnitProblem {
  const alternatives = byContext(slip.meant, factors, unknown).map(symbol => replaced(text, unknown, symbol));
  const subject = unknown.symbol === text ? `\`${text}\`` : `\`${unknown.symbol}\` in \`${text}\``;
  const hint = alternatives.length > 0 && text !== unknown.symbol ? `: \`${alternatives[0]}\`` : '';
  const message = `${subject} is no unit; ${slip.why}${hint}.`;
  if (alternatives.length === 0) return { kind: 'slip', message };
  return { kind: 'slip', message, suggestion: alternatives[0], ...(alternatives.length > 1 && { alternatives }) };
}

/** A pound with one length, or over an area, is a force; over a volume a mass. */
function byContext(meant: readonly string[], factors: readonly UnitFactor[], unknown: UnitFactor): readonly string[] {
  if (!meant[1]?.endsWith('f')) return meant;
  const length = factors
    .filter(factor => factor !== unknown && ['in', 'ft', 'yd', 'm', 'mm'].includes(factor.symbol))
    .reduce((sum, { exponent }) => sum + exponent.num / exponent.den, 0);
  return [1, -1, -2].includes(length) ? [...meant].reverse() : meant;
}

function misspelt(symbol: string, find: Find): string | undefined {
  return glued(symbol, find) ?? powered(symbol, find) ?? rooted(symbol, find) ?? otherCase(symbol) ?? inWords(symbol);
}

/** `mmm` → `mm`, `kgg` → `kg`: a letter that was typed twice. */
function doubled(symbol: string, find: Find): string | undefined {
  const [, before = '', , behind = ''] = /^(.*)(.)(?=\2)(.*)$/.exec(symbol) ?? [];
  return find(before + behind) && before + behind;
}

/** `mm2` → `mm^2`. */
function powered(symbol: string, find: Find): string | undefined {
  const [, unit = '', power] = /^(\D+)(\d)$/.exec(symbol) ?? [];
  return find(unit) && `${unit}^${power}`;
}

/** `MPa√m` → `MPa*m^(1/2)`. */
function rooted(symbol: string, find: Find): string | undefined {
  const [, unit = '', root = ''] = /^(.+)√\(?([^()]+)\)?$/.exec(symbol) ?? [];
  return find(unit) && find(root) && `${unit}*${root}^(1/2)`;
}

/** `Nm` → `N*m`, `inlbf` → `in*lbf`; both parts must be units that are really multiplied. */
function glued(symbol: string, find: Find): string | undefined {
  for (let split = symbol.length - 1; split > 0; split--) {
    const [left, right] = [symbol.slice(0, split), symbol.slice(split)];
    if (isMechanical(find(left)) && isMechanical(find(right))) return `${left}*${right}`;
  }
  return undefined;
}

function isMechanical(unit: Unit | undefined): boolean {
  return unit !== undefined && GLUED.has(unit.symbol);
}

const GLUED = new Set([
  'N',
  'mN',
  'kN',
  'MN',
  'lbf',
  'ozf',
  'kgf',
  'kip',
  'm',
  'mm',
  'cm',
  'in',
  'ft',
  's',
  'Pa',
  'mPa',
  'MPa',
  'kg',
  'W',
  'kW',
  'h',
]);

/** `mpa` → `MPa`: of several that differ only in capitals the one that results are printed in. */
function otherCase(symbol: string): string | undefined {
  const lower = symbol.toLowerCase();
  const matches = tableSymbols().filter(known => known.toLowerCase() === lower);
  return matches.find(known => USUAL.has(known)) ?? matches[0];
}

const USUAL = new Set(READABLE.flatMap(({ steps }) => steps.map(([unit]) => unit)));

/** `newtons`, `millimeter` → `N`, `mm`. */
function inWords(symbol: string): string | undefined {
  const word = plain(symbol);
  return tableSymbols().find(known => plain(findUnit(known)?.name ?? '') === word);
}

function plain(word: string): string {
  return word.toLowerCase().replace(/meter/, 'metre').replace(/liter/, 'litre').replace(/s$/, '').trim();
}

/** The symbol that takes fewest changes, if they are few for its length. */
function nearest(symbol: string): string | undefined {
  const allowed = symbol.length < 3 ? 0 : symbol.length < 6 ? 1 : 2;
  const candidates = tableSymbols()
    .filter(known => known.length > 1 && Math.abs(known.length - symbol.length) <= allowed)
    .map(known => ({
      known,
      distance: editDistance(symbol.toLowerCase(), known.toLowerCase()) - (USUAL.has(known) ? 0.5 : 0),
    }))
    .filter(({ distance }) => distance <= allowed)
    .sort((a, b) => a.distance - b.distance);
  return candidates[0]?.known;
}

/** The text with one symbol put in place of another; a compound that is raised or divided by gets brackets. */
function replaced(text: string, factor: UnitFactor, by: string): string {
  const before = text.slice(0, factor.start);
  const after = text.slice(factor.start + factor.symbol.length);
  const needsBrackets =
    (/\*|\//.test(by) && (after.startsWith('^') || before.endsWith('/'))) ||
    (by.includes('^') && after.startsWith('^'));
  return before + (needsBrackets ? `(${by})` : by) + after;
}
