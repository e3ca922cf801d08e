/** Powers, held against exact arithmetic and the same to the last digit on whatever machine the suites run. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { Rational } from '../../server/base/index.js';
import { power } from '../../server/engine/operations/power.js';

/** Numbers that releases of one engine take to powers that differ in the last digit. */
test.each([
  [5.029, 2.9, 108.21731224205548],
  [7.86, 7.9, 11853268.269888915],
  [1.653, -2.5, 0.28465437695091134],
  [8.406, -3.3, 0.0008889043413919729],
  [8.065, -6.9, 5.551749154488522e-7],
])('%d to the power of %d', (x, y, expected) => {
  expect(power(x, y)).toBe(expected);
});

/** The number that a double is. */
function exactly(value: number): Rational {
  let shift = 0n;
  for (; !Number.isInteger(value); shift++) value *= 2;
  return Rational.of(BigInt(value), 1n << shift);
}

test('whole powers lie within a unit of the last place of the exact ones', () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 2 ** 20 }), fc.integer({ min: -40, max: 40 }), (m, n) => {
      const x = m / 2 ** 10;
      let exact = Rational.ONE;
      for (let i = 0; i < Math.abs(n); i++) exact = exact.mul(exactly(x));
      if (n < 0) exact = Rational.ONE.div(exact);
      const off = exactly(power(x, n)).sub(exact);
      const unit = exactly(power(x, n)).mul(Rational.of(1n, 1n << 52n));
      return (off.sign < 0 ? off.negate() : off).compare(unit) <= 0;
    }),
    { numRuns: 2000 },
  );
});
