import pow from '@stdlib/math-base-special-pow';

/**
 * x^y, to the last digit the same on every machine. That of `Math.pow` and `**` the standard leaves open; it differs
 * between releases of one engine. Within one unit of the last place.
 */
export function power(x: number, y: number): number {
  if (y === 2) return x * x;
  return pow(x, y);
}
