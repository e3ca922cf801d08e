import { Rational, decimalParts, doubleParts, ratioToNumber } from '../../base/index.js';
import type { Dimension } from './dimension.js';
import type { ExactFactor } from './exact.js';

/**
 * What the dimension alone does not tell about a unit:
 * - `angular`: an angle, or something per time counted in angle (`rad/s`, `rpm`): a factor of 2π away from Hz;
 * - `torque` and `energy`: both force × length;
 * - `octave`: a logarithmic ratio.
 */
export type UnitSense = 'angular' | 'torque' | 'energy' | 'octave';

/** A unit of measure, immutable. Two units of one dimension differ by their factor, a point unit also by its offset. */
export interface Unit {
  /** Canonical spelling, as printed. */
  readonly symbol: string;
  /** In words, for table entries: `millimetre`. */
  readonly name?: string;
  readonly dimension: Dimension;
  /** SI value of one unit: the double nearest to `exact`. */
  readonly factor: number;
  readonly exact: ExactFactor;
  /** True for `degC` and `degF` standing alone: a literal is a point of the scale, not a difference. */
  readonly isPoint: boolean;
  /** Point units only: SI value = (x + offset) × factor. */
  readonly offset?: Rational | undefined;
  readonly sense?: UnitSense;
}

export interface ConversionOptions {
  /** Reads a point unit as a difference, as after `±` and `step`: the offset is left out. */
  readonly difference?: boolean;
}

/** Powers of ten beyond this leave the range of doubles whatever the unit. */
const OUT_OF_RANGE = 1000;
const EXACT_DIGITS = 15;
const EXACT_INTEGERS = 2 ** 53;
const POWERS_OF_TEN = Array.from({ length: 23 }, (_, exponent) => 10 ** exponent);

/** (digits × 10^exponent + a/b) × num/den, in doubles that hold integers, for the quick road through `toSI`. */
interface SmallConversion {
  readonly num: number;
  readonly den: number;
  readonly a: number;
  readonly b: number;
}

interface Conversion {
  /** The exact factor, or an approximation good to 230 bits where it is irrational. */
  readonly factor: Rational;
  readonly offset: Rational;
  readonly small?: SmallConversion;
}

interface Conversions {
  readonly point: Conversion;
  readonly difference: Conversion;
}

const conversions = new WeakMap<Unit, Conversions>();

/**
 * The SI value of a decimal literal in a unit: exact decimal × exact factor (with the offset of a point), rounded
 * once to the nearest double. `25.4 mm` and `1 in` give the same bits.
 * NaN when the text is no decimal number; infinite or zero beyond the range of doubles.
 */
export function toSI(unit: Unit, decimalText: string, options: ConversionOptions = {}): number {
  const parts = decimalParts(decimalText);
  if (parts === undefined) return NaN;
  const { negative, digits, exponent } = parts;
  const conversion = conversionOf(unit, options);
  if (digits.length <= EXACT_DIGITS && conversion.small !== undefined) {
    const quick = quickSI(conversion.small, negative ? -Number(digits) : Number(digits), exponent);
    if (quick !== undefined) return quick;
  }
  const magnitude = BigInt(digits);
  if (magnitude === 0n) return exactSI(conversion, 0n, 0);
  if (exponent + digits.length > OUT_OF_RANGE) return negative ? -Infinity : Infinity;
  if (exponent + digits.length < -OUT_OF_RANGE) return conversion.offset.mul(conversion.factor).toNumber();
  return exactSI(conversion, negative ? -magnitude : magnitude, exponent);
}

/**
 * The exact value of a literal as text, the same for every spelling of it (`25.4 mm`, `1 in`, `0.0254 m`):
 * what an imprint hashes instead of a double.
 */
export function exactLiteral(unit: Unit, decimalText: string, options: ConversionOptions = {}): string {
  const value = Rational.parse(decimalText);
  if (value === undefined) return `${decimalText} ${unit.exact}`;
  const shifted = unit.offset === undefined || options.difference === true ? value : value.add(unit.offset);
  const { exact } = unit;
  if (shifted.isZero) return '0';
  if (exact.isRational) return shifted.mul(exact.radicand).toString();
  const size = shifted.sign < 0 ? shifted.negate() : shifted;
  return `${shifted.sign < 0 ? '-' : ''}${exact.scaled(size)}`;
}

/**
 * The number that stands before the unit for an SI value: the one of at most 15 digits that `toSI` takes to this very
 * value, where there is one (so what was written comes back as written), else the double nearest to the exact quotient.
 */
export function fromSI(unit: Unit, si: number, options: ConversionOptions = {}): number {
  if (!Number.isFinite(si)) return si;
  const { factor, offset } = conversionOf(unit, options);
  const written = (si / unit.factor - offset.toNumber()).toPrecision(EXACT_DIGITS);
  if (toSI(unit, written, options) === si) return Number(written) || 0;
  const { mantissa, exponent } = doubleParts(si);
  const above = (exponent < 0 ? mantissa : mantissa << BigInt(exponent)) * factor.den;
  const below = (exponent < 0 ? 1n << BigInt(-exponent) : 1n) * factor.num;
  return ratioToNumber(above * offset.den - offset.num * below, below * offset.den);
}

/**
 * `fromSI` within a few units in the last place, without exact arithmetic: for printing a few digits. `error` bounds
 * how far it is off.
 */
export function nearlyFromSI(
  unit: Unit,
  si: number,
  options: ConversionOptions = {},
): { readonly value: number; readonly error: number } {
  const scaled = si / unit.factor;
  const offset = unit.offset === undefined || options.difference === true ? 0 : unit.offset.toNumber();
  return { value: scaled - offset, error: 4 * Number.EPSILON * (Math.abs(scaled) + Math.abs(offset)) };
}

const differences = new WeakMap<Unit, Unit>();

/** The same unit read as a difference: `degC` gives the kelvin-sized degree without its zero. */
export function asDifference(unit: Unit): Unit {
  if (!unit.isPoint) return unit;
  let difference = differences.get(unit);
  if (difference === undefined) {
    difference = Object.freeze({ ...unit, isPoint: false, offset: undefined });
    differences.set(unit, difference);
  }
  return difference;
}

function conversionOf(unit: Unit, options: ConversionOptions): Conversion {
  let known = conversions.get(unit);
  if (known === undefined) {
    const factor = unit.exact.toRational();
    const difference = conversion(factor, Rational.ZERO);
    known = { difference, point: unit.offset === undefined ? difference : conversion(factor, unit.offset) };
    conversions.set(unit, known);
  }
  return options.difference === true ? known.difference : known.point;
}

function conversion(factor: Rational, offset: Rational): Conversion {
  const small = { num: Number(factor.num), den: Number(factor.den), a: Number(offset.num), b: Number(offset.den) };
  const isSmall = Object.values(small).every(part => Math.abs(part) <= EXACT_INTEGERS);
  return isSmall ? { factor, offset, small } : { factor, offset };
}

/** Integers that fit a double are exact and their quotient is rounded once; undefined when they do not fit. */
function quickSI({ num, den, a, b }: SmallConversion, digits: number, exponent: number): number | undefined {
  const scale = POWERS_OF_TEN[Math.abs(exponent)];
  if (scale === undefined) return undefined;
  const above = exponent < 0 ? 1 : scale;
  const below = exponent < 0 ? scale : 1;
  const left = digits * above * b;
  const right = a * below;
  const numerator = (left + right) * num;
  const denominator = below * b * den;
  const largest = Math.max(Math.abs(left), Math.abs(right), Math.abs(numerator), denominator);
  return largest <= EXACT_INTEGERS ? numerator / denominator || 0 : undefined;
}

function exactSI({ factor, offset }: Conversion, digits: bigint, exponent: number): number {
  const scale = 10n ** BigInt(Math.abs(exponent));
  const above = exponent < 0 ? 1n : scale;
  const below = exponent < 0 ? scale : 1n;
  return ratioToNumber(
    (digits * above * offset.den + offset.num * below) * factor.num,
    below * offset.den * factor.den,
  );
}
