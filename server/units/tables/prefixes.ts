export interface Prefix {
  readonly symbol: string;
  readonly name: string;
  /** Power of ten. */
  readonly exponent: number;
}

/** SI prefixes (SI Brochure, 9th edition, table 7) as far as a structure needs them. */
export const PREFIXES: readonly Prefix[] = [
  { symbol: 'f', name: 'femto', exponent: -15 },
  { symbol: 'p', name: 'pico', exponent: -12 },
  { symbol: 'n', name: 'nano', exponent: -9 },
  { symbol: '\u00b5', name: 'micro', exponent: -6 },
  { symbol: 'm', name: 'milli', exponent: -3 },
  { symbol: 'c', name: 'centi', exponent: -2 },
  { symbol: 'd', name: 'deci', exponent: -1 },
  { symbol: 'da', name: 'deca', exponent: 1 },
  { symbol: 'h', name: 'hecto', exponent: 2 },
  { symbol: 'k', name: 'kilo', exponent: 3 },
  { symbol: 'M', name: 'mega', exponent: 6 },
  { symbol: 'G', name: 'giga', exponent: 9 },
  { symbol: 'T', name: 'tera', exponent: 12 },
];

/** ASCII spelling of µ, read but never printed. */
export const ASCII_MICRO = 'u';
