/** Numbers as views and pages print them. */
export const DEFAULT_DIGITS = 4;

export function kilograms(mass: number): string {
  return `${Number(mass.toPrecision(DEFAULT_DIGITS))} kg`;
}
