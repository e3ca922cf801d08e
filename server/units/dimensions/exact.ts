import { Rational, bug, floorLog2, ratioToNumber } from '../../base/index.js';
import type { Exponent } from './dimension.js';
import { reduced } from './dimension.js';

/** π to 100 decimals, far more than any rounding to a double can ask for. */
const PI_DECIMALS =
  '3.1415926535897932384626433832795028841971693993751058209749445923078164062862089986280348253421170679';
export const PI = Rational.from(PI_DECIMALS);

/** Bits kept of an irrational factor; the double nearest to a product is then decided beyond doubt. */
const APPROXIMATION_BITS = 240;

/**
 * A unit's factor, held exactly as (radicand × π^piExponent)^(1/degree). Degree 1 without π is an ordinary
 * fraction; `ksi*in^(1/2)` and `deg` are as exact as `mm`. Positive, immutable, and of one form for each value.
 */
export class ExactFactor {
  static readonly ONE = new ExactFactor(Rational.ONE, 0, 1);

  private constructor(
    readonly radicand: Rational,
    readonly piExponent: number,
    readonly degree: number,
  ) {}

  static of(value: Rational, piExponent = 0): ExactFactor {
    if (value.sign <= 0) bug(`a unit factor that is not positive: ${value}`);
    return new ExactFactor(value, piExponent, 1);
  }

  get isRational(): boolean {
    return this.degree === 1 && this.piExponent === 0;
  }

  mul(other: ExactFactor): ExactFactor {
    const degree = leastCommonMultiple(this.degree, other.degree);
    const a = degree / this.degree;
    const b = degree / other.degree;
    return ExactFactor.simplified(
      this.radicand.pow(a).mul(other.radicand.pow(b)),
      this.piExponent * a + other.piExponent * b,
      degree,
    );
  }

  pow({ num, den }: Exponent): ExactFactor {
    return ExactFactor.simplified(this.radicand.pow(num), this.piExponent * num, this.degree * den);
  }

  equals(other: ExactFactor): boolean {
    return this.degree === other.degree && this.piExponent === other.piExponent && this.radicand.equals(other.radicand);
  }

  /** The nearest double. */
  toNumber(): number {
    const { num, den } = this.toRational();
    return ratioToNumber(num, den);
  }

  /** The value itself where it is a fraction, else a fraction that differs by less than 2^−230 of it. */
  toRational(): Rational {
    if (this.degree === 1) return this.piExponent === 0 ? this.radicand : this.radicand.mul(PI.pow(this.piExponent));
    const { num, den } = this.radicand.mul(PI.pow(this.piExponent));
    const shift = APPROXIMATION_BITS - Math.floor(floorLog2(num, den) / this.degree);
    const scale = shift * this.degree;
    const scaled = scale < 0 ? num / (den << BigInt(-scale)) : (num << BigInt(scale)) / den;
    const root = integerRoot(scaled, this.degree);
    return shift < 0 ? Rational.of(root << BigInt(-shift)) : Rational.of(root, 1n << BigInt(shift));
  }

  /** One spelling for each value, as needed for hashing: `127/5000`, `1/180 pi^1`, `127/5000 root 2`. */
  toString(): string {
    const pi = this.piExponent === 0 ? '' : ` pi^${this.piExponent}`;
    const root = this.degree === 1 ? '' : ` root ${this.degree}`;
    return `${this.radicand}${pi}${root}`;
  }

  /** This factor times a positive fraction. */
  scaled(by: Rational): ExactFactor {
    return this.mul(ExactFactor.of(by));
  }

  /** (radicand × π^piExponent)^(1/degree), with every root taken that comes out even: one form for each value. */
  private static simplified(radicand: Rational, piExponent: number, degree: number): ExactFactor {
    for (let divisor = degree; divisor > 1; divisor--) {
      if (degree % divisor !== 0 || piExponent % divisor !== 0) continue;
      const root = rationalRoot(radicand, divisor);
      if (root !== undefined) return ExactFactor.simplified(root, piExponent / divisor, degree / divisor);
    }
    return new ExactFactor(radicand, piExponent, degree);
  }
}

/** The root where it is a fraction itself. */
function rationalRoot({ num, den }: Rational, degree: number): Rational | undefined {
  const above = integerRoot(num, degree);
  const below = integerRoot(den, degree);
  const size = BigInt(degree);
  return above ** size === num && below ** size === den ? Rational.of(above, below) : undefined;
}

/** The largest integer whose `degree`-th power is at most `value` (Newton's iteration from above). */
function integerRoot(value: bigint, degree: number): bigint {
  if (value < 2n) return value;
  const n = BigInt(degree);
  let root = 1n << BigInt(Math.floor(floorLog2(value, 1n) / degree) + 1);
  for (;;) {
    const next = ((n - 1n) * root + value / root ** (n - 1n)) / n;
    if (next >= root) return root;
    root = next;
  }
}

function leastCommonMultiple(a: number, b: number): number {
  return a * reduced(b, a).num;
}
