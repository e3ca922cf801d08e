import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  CancellationSource,
  NEVER,
  Rational,
  bug,
  contentHash,
  doubleParts,
  ratioToNumber,
} from '../../server/base/index.js';

const smallRational = fc
  .tuple(fc.bigInt({ min: -(10n ** 20n), max: 10n ** 20n }), fc.bigInt({ min: 1n, max: 10n ** 20n }))
  .map(([num, den]) => Rational.of(num, den));

describe('Rational', () => {
  it('is always in lowest terms', () => {
    expect(`${Rational.of(6n, -4n)}`).toBe('-3/2');
    expect(`${Rational.from('1.35e-6')}`).toBe('27/20000000');
    expect(`${Rational.from('-.5e1')}`).toBe('-5');
    expect(`${Rational.from(12)}`).toBe('12');
  });

  it('refuses what is no decimal number, and powers of ten nobody means', () => {
    for (const text of ['', '.', 'e5', '1e', '1_000', '1,000', '0x10', 'NaN', '1e999999999']) {
      expect(Rational.parse(text)).toBeUndefined();
    }
  });

  it('keeps the rules of a field', () => {
    fc.assert(
      fc.property(smallRational, smallRational, smallRational, (a, b, c) => {
        expect(a.add(b).sub(b).equals(a)).toBe(true);
        expect(a.mul(b.add(c)).equals(a.mul(b).add(a.mul(c)))).toBe(true);
        expect(b.isZero || a.mul(b).div(b).equals(a)).toBe(true);
        expect(a.compare(b)).toBe(a.sub(b).sign);
      }),
    );
  });

  it('holds every double exactly', () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), value => {
        const { mantissa, exponent } = doubleParts(value);
        const [above, below] = exponent < 0 ? [mantissa, 1n << BigInt(-exponent)] : [mantissa << BigInt(exponent), 1n];
        expect(Rational.of(above, below).toNumber()).toBe(value === 0 ? 0 : value);
      }),
    );
  });

  it('rounds decimal texts of any length as the platform does', () => {
    const digits = fc.array(fc.integer({ min: 0, max: 9 }), { minLength: 1, maxLength: 20 }).map(list => list.join(''));
    fc.assert(
      fc.property(digits, fc.integer({ min: -340, max: 320 }), (mantissa, exponent) => {
        const text = `${mantissa}e${exponent}`;
        expect(Rational.from(text).toNumber()).toBe(Number(text));
      }),
      { numRuns: 2000 },
    );
  });

  it('rounds ties to even, at the edges of the range too', () => {
    expect(ratioToNumber((1n << 53n) + 1n, 1n)).toBe(2 ** 53);
    expect(ratioToNumber((1n << 53n) + 3n, 1n)).toBe(2 ** 53 + 4);
    expect(ratioToNumber(1n, 1n << 1074n)).toBe(Number.MIN_VALUE);
    expect(ratioToNumber(1n, 1n << 1075n)).toBe(0);
    expect(ratioToNumber(3n, 1n << 1075n)).toBe(2 * Number.MIN_VALUE);
    expect(ratioToNumber((1n << 1024n) - (1n << 970n), 1n)).toBe(Infinity);
    expect(ratioToNumber((1n << 1024n) - (1n << 970n) - 1n, 1n)).toBe(Number.MAX_VALUE);
  });
});

describe('the rest of base', () => {
  it('hashes content, the same in every version', () => {
    expect(contentHash('')).toBe('0bdcb81aee8d83');
    expect(contentHash('a')).not.toBe(contentHash('b'));
    expect(contentHash('margin')).toMatch(/^[0-9a-f]{14}$/);
  });

  it('cancels', () => {
    const source = new CancellationSource();
    const { token } = source;
    source.cancel();
    expect([token.cancelled, NEVER.cancelled]).toEqual([true, false]);
  });

  it('names its own defects', () => {
    expect(() => bug('no such cell')).toThrow('no such cell');
  });
});
