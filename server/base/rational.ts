import { bug } from './bug.js';

const DECIMAL = /^([+-]?)(\d*)(?:\.(\d*))?(?:[eE]([+-]?\d+))?$/;

/** Powers of ten beyond this are refused, so that a typed `1e999999999` costs nothing. */
const LARGEST_DECIMAL_EXPONENT = 5000;

/** A decimal literal taken apart: value = sign × digits × 10^exponent. */
export interface DecimalParts {
  readonly negative: boolean;
  readonly digits: string;
  readonly exponent: number;
}

/** Takes `-1.35e-6` apart without losing a digit; undefined when the text is no decimal number. */
export function decimalParts(text: string): DecimalParts | undefined {
  const match = DECIMAL.exec(text);
  if (match === null) return undefined;
  const fraction = match[3] ?? '';
  const digits = match[2] + fraction;
  if (digits === '') return undefined;
  return { negative: match[1] === '-', digits, exponent: Number(match[4] ?? 0) - fraction.length };
}

/** An exact fraction, always in lowest terms with a positive denominator. Immutable. */
export class Rational {
  static readonly ZERO = new Rational(0n, 1n);
  static readonly ONE = new Rational(1n, 1n);

  private constructor(
    readonly num: bigint,
    readonly den: bigint,
  ) {}

  /** The fraction num/den in lowest terms. A zero denominator is a bug of the caller. */
  static of(num: bigint, den: bigint = 1n): Rational {
    if (den === 0n) bug('a fraction with denominator zero');
    const divisor = greatestCommonDivisor(num, den);
    const sign = den < 0n ? -1n : 1n;
    return new Rational((sign * num) / divisor, (sign * den) / divisor);
  }

  /** From an integer or a decimal text such as `1.35e-6`; anything else is a bug of the caller. */
  static from(value: number | bigint | string): Rational {
    if (typeof value === 'bigint') return new Rational(value, 1n);
    if (typeof value === 'string') return Rational.parse(value) ?? bug(`no decimal number: ${value}`);
    if (!Number.isInteger(value)) bug(`no integer: ${value}`);
    return new Rational(BigInt(value), 1n);
  }

  /** From a decimal text; undefined when it is none, or has a power of ten beyond ±5000. */
  static parse(text: string): Rational | undefined {
    const parts = decimalParts(text);
    if (parts === undefined || Math.abs(parts.exponent) > LARGEST_DECIMAL_EXPONENT) return undefined;
    const digits = BigInt(parts.negative ? `-${parts.digits}` : parts.digits);
    const scale = 10n ** BigInt(Math.abs(parts.exponent));
    return parts.exponent < 0 ? Rational.of(digits, scale) : Rational.of(digits * scale);
  }

  get isZero(): boolean {
    return this.num === 0n;
  }

  get isInteger(): boolean {
    return this.den === 1n;
  }

  /** −1, 0 or 1. */
  get sign(): number {
    return this.num > 0n ? 1 : this.num < 0n ? -1 : 0;
  }

  add(other: Rational): Rational {
    return Rational.of(this.num * other.den + other.num * this.den, this.den * other.den);
  }

  sub(other: Rational): Rational {
    return Rational.of(this.num * other.den - other.num * this.den, this.den * other.den);
  }

  mul(other: Rational): Rational {
    return Rational.of(this.num * other.num, this.den * other.den);
  }

  div(other: Rational): Rational {
    return Rational.of(this.num * other.den, this.den * other.num);
  }

  negate(): Rational {
    return new Rational(-this.num, this.den);
  }

  /** To an integer power; zero to a negative power is a bug of the caller. */
  pow(exponent: number): Rational {
    const size = BigInt(Math.abs(exponent));
    const raised = new Rational(this.num ** size, this.den ** size);
    return exponent < 0 ? Rational.ONE.div(raised) : raised;
  }

  /** Negative, zero or positive, as `this` is less than, equal to or greater than `other`. */
  compare(other: Rational): number {
    const difference = this.num * other.den - other.num * this.den;
    return difference > 0n ? 1 : difference < 0n ? -1 : 0;
  }

  equals(other: Rational): boolean {
    return this.num === other.num && this.den === other.den;
  }

  /** The nearest double, ties to even; infinite or zero where the value leaves the range of doubles. */
  toNumber(): number {
    return ratioToNumber(this.num, this.den);
  }

  toString(): string {
    return this.isInteger ? `${this.num}` : `${this.num}/${this.den}`;
  }
}

const EXACT_INTEGERS = 1n << 53n;
const LOWEST_BIT = -1074;
const MANTISSA_BITS = 52;

/** The double nearest to num/den (den > 0), rounded once, ties to even, subnormals included. */
export function ratioToNumber(num: bigint, den: bigint): number {
  if (num < 0n) return -ratioToNumber(-num, den);
  if (num === 0n) return 0;
  if (num <= EXACT_INTEGERS && den <= EXACT_INTEGERS) return Number(num) / Number(den);
  const unit = Math.max(floorLog2(num, den) - MANTISSA_BITS, LOWEST_BIT);
  if (unit > 1023 - MANTISSA_BITS) return Infinity;
  const mantissa = unit < 0 ? roundHalfEven(num << BigInt(-unit), den) : roundHalfEven(num, den << BigInt(unit));
  return Number(mantissa) * 2 ** unit;
}

const bits = new DataView(new ArrayBuffer(8));

/** A finite double taken apart: value = mantissa × 2^exponent. */
export function doubleParts(value: number): { readonly mantissa: bigint; readonly exponent: number } {
  bits.setFloat64(0, value);
  const high = bits.getUint32(0);
  const biased = (high >>> 20) & 0x7ff;
  const fraction = (BigInt(high & 0xfffff) << 32n) | BigInt(bits.getUint32(4));
  const mantissa = biased === 0 ? fraction : fraction | (1n << 52n);
  return { mantissa: value < 0 ? -mantissa : mantissa, exponent: Math.max(biased, 1) - 1075 };
}

/** The largest integer n with 2^n ≤ num/den, both positive. */
export function floorLog2(num: bigint, den: bigint): number {
  const estimate = bitLength(num) - bitLength(den);
  const fits = estimate < 0 ? num << BigInt(-estimate) >= den : num >= den << BigInt(estimate);
  return fits ? estimate : estimate - 1;
}

/** The number of bits of a positive integer. */
export function bitLength(value: bigint): number {
  const hexadecimal = value.toString(16);
  return 4 * hexadecimal.length - Math.clz32(parseInt(hexadecimal.charAt(0), 16)) + 28;
}

function roundHalfEven(num: bigint, den: bigint): bigint {
  const quotient = num / den;
  const twiceRest = 2n * (num - quotient * den);
  const up = twiceRest > den || (twiceRest === den && (quotient & 1n) === 1n);
  return up ? quotient + 1n : quotient;
}

function greatestCommonDivisor(a: bigint, b: bigint): bigint {
  let larger = a < 0n ? -a : a;
  let smaller = b < 0n ? -b : b;
  while (smaller !== 0n) [larger, smaller] = [smaller, larger % smaller];
  return larger;
}
