import { bug } from '../../base/index.js';

/** A rational exponent in lowest terms, den > 0. */
export interface Exponent {
  readonly num: number;
  readonly den: number;
}

export const BASE_QUANTITIES = ['length', 'mass', 'time', 'current', 'temperature', 'amount', 'luminosity'] as const;

/**
 * A physical dimension: rational exponents over the seven base quantities. Interned, so that `===` is equality;
 * `id` is dense from 0 (dimensionless) and serves as an index. An angle is a number, as in the SI.
 */
export interface Dimension {
  readonly id: number;
  /** One per base quantity, in the order of `BASE_QUANTITIES`. */
  readonly exponents: readonly Exponent[];
}

const ZERO: Exponent = Object.freeze({ num: 0, den: 1 });
/** What a user may write; products of a few such stay far below the second bound. */
const LARGEST_TYPED = 99;
const LARGEST = 1e6;

const interned = new Map<string, Dimension>();
const products: Dimension[][] = [];
const quotients: Dimension[][] = [];
const powers = new Map<string, Dimension>();

export const DIMENSIONLESS: Dimension = intern(BASE_QUANTITIES.map(() => ZERO));

/** The dimension with these exponents; those left out are zero. */
export function dimension(exponents: Partial<Record<(typeof BASE_QUANTITIES)[number], number | Exponent>>): Dimension {
  return intern(
    BASE_QUANTITIES.map(quantity => {
      const exponent = exponents[quantity] ?? 0;
      return typeof exponent === 'number' ? reduced(exponent, 1) : reduced(exponent.num, exponent.den);
    }),
  );
}

export function multiply(a: Dimension, b: Dimension): Dimension {
  const row = (products[a.id] ??= []);
  return (row[b.id] ??= intern(sum(a, b, 1)));
}

export function divide(a: Dimension, b: Dimension): Dimension {
  const row = (quotients[a.id] ??= []);
  return (row[b.id] ??= intern(sum(a, b, -1)));
}

/** `base` to the power num/den. Ask `canRaise` first where the exponent comes from a user. */
export function power(base: Dimension, num: number, den = 1): Dimension {
  if (base === DIMENSIONLESS) return base;
  const key = `${base.id}^${num}/${den}`;
  let result = powers.get(key);
  if (result === undefined) {
    result = intern(base.exponents.map(exponent => reduced(exponent.num * num, exponent.den * den)));
    powers.set(key, result);
  }
  return result;
}

/** False where the power would have exponents beyond ±99 or parts finer than 1/99, which no physical quantity has. */
export function canRaise(base: Dimension, num: number, den = 1): boolean {
  if (!Number.isSafeInteger(num) || !Number.isSafeInteger(den) || den === 0) return false;
  return base.exponents.every(exponent => isWithin(reduced(exponent.num * num, exponent.den * den), LARGEST_TYPED));
}

/**
 * The exponent r with `of` = `base`^r, or undefined when there is none. Nothing is interned on the way.
 * For the dimensionless `base` there is none.
 */
export function exponentBetween(of: readonly Exponent[], base: readonly Exponent[]): Exponent | undefined {
  const first = base.findIndex(exponent => exponent.num !== 0);
  const [above, below] = [of[first], base[first]];
  if (!above || !below) return undefined;
  const ratio = reduced(above.num * below.den, above.den * below.num);
  const agrees = base.every((exponent, index) => {
    const expected = reduced(exponent.num * ratio.num, exponent.den * ratio.den);
    return expected.num === of[index]?.num && expected.den === of[index].den;
  });
  return agrees ? ratio : undefined;
}

/** The exponents of a × b^factor. */
function sum(a: Dimension, b: Dimension, factor: number): Exponent[] {
  return a.exponents.map((exponent, index) => add(exponent, b.exponents[index] ?? ZERO, factor));
}

/** a + factor × b. */
export function add(a: Exponent, b: Exponent, factor: number): Exponent {
  if (b.num === 0) return a;
  return reduced(a.num * b.den + factor * b.num * a.den, a.den * b.den);
}

/** num/den in lowest terms with a positive denominator. */
export function reduced(num: number, den: number): Exponent {
  if (num === 0) return ZERO;
  const divisor = greatestCommonDivisor(Math.abs(num), Math.abs(den)) * Math.sign(den);
  return { num: num / divisor, den: den / divisor };
}

function intern(exponents: readonly Exponent[]): Dimension {
  const key = exponents.map(({ num, den }) => (den === 1 ? num : `${num}/${den}`)).join(' ');
  const known = interned.get(key);
  if (known !== undefined) return known;
  if (!exponents.every(exponent => isWithin(exponent, LARGEST))) bug(`exponents out of range: ${key}`);
  const created: Dimension = Object.freeze({
    id: interned.size,
    exponents: Object.freeze(exponents.map(Object.freeze) as Exponent[]),
  });
  interned.set(key, created);
  return created;
}

function isWithin({ num, den }: Exponent, bound: number): boolean {
  return Number.isSafeInteger(num) && Math.abs(num) <= bound && den <= bound;
}

function greatestCommonDivisor(a: number, b: number): number {
  return b === 0 ? a : greatestCommonDivisor(b, a % b);
}
