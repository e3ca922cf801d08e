/** The unit that the header of a data column names, in the spellings that people use there. */
import { isUnit, parseUnit } from './parse.js';
import type { Unit } from './dimensions/unit.js';

export interface HeaderUnit {
  /** As it stands in the header: `kN/mm2`. */
  readonly text: string;
  /** The unit, where the text is one as it stands; null where the header says that there is none (`[-]`). */
  readonly unit: Unit | null | undefined;
  /** What may be meant, best first: of `lb` the mass and the force. Empty where nobody could say. */
  readonly readings: readonly Unit[];
}

/** A unit in brackets, anywhere in a header. */
const SQUARE = /\[([^[\]]*)\]/;
const ROUND = /\(([^()]*)\)/g;
/** A unit without brackets, behind a stroke, a comma or `in`. */
const BEHIND = /(?:[ \t]\/[ \t]*|,[ \t]*|[ \t]in[ \t]+|_)([^\s,_]+)$/u;
/** What stands in round brackets without being a unit, though it may be near the spelling of one. */
const REMARKS =
  /^(?:[a-z]?\d*|x|y|z|max|min|mean|avg|average|abs|nom|nominal|meas|measured|calc|test|peak|tot|total|std|sd|cv|ref)\.?$/i;
const NO_UNIT: ReadonlySet<string> = new Set(['-', '–', '—', '1', '']);

/** The header without the brackets of its unit: `Fu` of `Fu [MPa]`. */
export function headerTitle(header: string): string {
  const found = headerUnit(header);
  if (!found) return header;
  const bracketed = [`[${found.text}]`, `(${found.text})`].find(text => header.includes(text));
  return bracketed === undefined ? header : header.replace(bracketed, '').replace(/\s+/g, ' ').trim();
}

/**
 * The unit that a header names: `Fu [kN/mm2]`, `Load (kN)`, `Load / ksi`, `Load in MPa`, `Load, kN`. Square brackets
 * always hold a unit; what else stands there does where it reads as one, or nearly. Null where it names none.
 */
export function headerUnit(header: string): HeaderUnit | null {
  const square = SQUARE.exec(header)?.[1];
  if (square !== undefined) return readingOf(square.trim());
  for (const [, text = ''] of header.matchAll(ROUND)) {
    const reading = readingOf(text.trim());
    if (isNamed(reading) || (isNearUnit(reading.text) && !REMARKS.test(reading.text))) return reading;
  }
  const behind = BEHIND.exec(header)?.[1];
  const reading = behind === undefined ? null : readingOf(behind);
  return reading && isNamed(reading) ? reading : null;
}

function isNamed({ unit, readings, text }: HeaderUnit): boolean {
  return unit === null ? text !== '' && text !== '1' : readings.length > 0;
}

/** One short word that differs from a unit by little. */
function isNearUnit(text: string): boolean {
  const problem = parseUnit(text);
  return !/\s/.test(text) && !isUnit(problem) && problem.suggestion !== undefined;
}

function readingOf(text: string): HeaderUnit {
  if (NO_UNIT.has(text)) return { text, unit: null, readings: [] };
  const plain = plainSpelling(text);
  const read = parseUnit(plain);
  if (isUnit(read)) return { text, unit: read, readings: [read, ...usualMeanings(plain)] };
  const suggested = read.kind === 'unknown' ? [] : (read.alternatives ?? [read.suggestion ?? '']);
  return { text, unit: undefined, readings: suggested.map(each => parseUnit(each)).filter(isUnit) };
}

/** `deg C` → `degC`, `N mm` → `N*mm`, `G2/Hz` → `G^2/Hz`. */
function plainSpelling(text: string): string {
  return text
    .replace(/\bdeg\.?\s+([CF])\b/g, 'deg$1')
    .replace(/(?<=[\p{L}\d²³])\s+(?=\p{L})/gu, '*')
    .replace(/(?<=[\p{L}])([2-9])(?![\p{L}\d])/gu, '^$1');
}

/** A header has no room for what the language tells apart: `C` stands for degrees there, and `g` for gravity. */
const MEANINGS: ReadonlyMap<string, string> = new Map([
  ['C', 'degC'],
  ['F', 'degF'],
  ['g', 'g0'],
]);

function usualMeanings(text: string): Unit[] {
  const meaning = parseUnit(MEANINGS.get(text) ?? text.replace(/^g\^2\/Hz$/, 'g0^2/Hz'));
  return isUnit(meaning) ? [meaning] : [];
}
