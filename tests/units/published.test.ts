import { describe, expect, it } from 'vitest';
import { fromSI, isUnit, parseUnit, toSI } from '../../server/units/index.js';
import type { Unit } from '../../server/units/index.js';

/** One published conversion: `amount` of `unit` is `value` in `as`, within `tolerance` (absolute; 0 is exact). */
interface Published {
  readonly id: string;
  readonly amount: string;
  readonly unit: string;
  readonly value: number;
  readonly as: string;
  readonly tolerance: number;
  readonly difference?: true;
  /** Where the number was published, and how it came here. */
  readonly source: string;
}

const B8 = 'NIST SP 811 (2008), appendix B.8';
const EXACT = `${B8}; from memory, value recomputed, exact by definition`;
const DERIVED = `${B8}; derived from its exact rows`;

const CASES: readonly Published[] = [
  {
    id: 'U01',
    amount: '1',
    unit: 'lbf',
    value: 4.4482216152605,
    as: 'N',
    tolerance: 0,
    source: `${EXACT} (printed 4.448222 E+00)`,
  },
  {
    id: 'U02',
    amount: '1',
    unit: 'lbm',
    value: 0.45359237,
    as: 'kg',
    tolerance: 0,
    source: `${EXACT} (printed 4.535924 E-01)`,
  },
  {
    id: 'U03',
    amount: '1',
    unit: 'psi',
    value: 6894.757293168,
    as: 'Pa',
    tolerance: 1e-8,
    source: `${DERIVED} (printed 6.894757 E+03)`,
  },
  { id: 'U03', amount: '1', unit: 'ksi', value: 6.894757293, as: 'MPa', tolerance: 1e-8, source: DERIVED },
  { id: 'U04', amount: '1', unit: 'in', value: 25.4, as: 'mm', tolerance: 0, source: EXACT },
  { id: 'U04', amount: '1', unit: 'mil', value: 25.4, as: 'µm', tolerance: 0, source: EXACT },
  { id: 'U04', amount: '1', unit: 'ft', value: 0.3048, as: 'm', tolerance: 1e-15, source: EXACT },
  {
    id: 'U05',
    amount: '1',
    unit: 'slug',
    value: 14.59390294,
    as: 'kg',
    tolerance: 1e-7,
    source: `${DERIVED} (printed 1.459390 E+01)`,
  },
  { id: 'U06', amount: '1', unit: 'lbf*s^2/in', value: 175.1268352, as: 'kg', tolerance: 1e-6, source: DERIVED },
  { id: 'U06', amount: '1', unit: 'slinch', value: 175.1268352, as: 'kg', tolerance: 1e-6, source: DERIVED },
  { id: 'U06', amount: '1', unit: 'lbm', value: 0.00259007918, as: '(lbf*s^2)/in', tolerance: 1e-10, source: DERIVED },
  { id: 'U07', amount: '1', unit: 'g0', value: 9.80665, as: 'm/s^2', tolerance: 0, source: EXACT },
  { id: 'U07', amount: '1', unit: 'g0', value: 32.17404856, as: 'ft/s^2', tolerance: 1e-7, source: EXACT },
  { id: 'U07', amount: '1', unit: 'g0', value: 386.0885827, as: 'in/s^2', tolerance: 1e-6, source: EXACT },
  {
    id: 'U08',
    amount: '1',
    unit: 'Torr',
    value: 133.3223684,
    as: 'Pa',
    tolerance: 1e-6,
    source: `${DERIVED} (printed 1.333224 E+02)`,
  },
  { id: 'U08', amount: '1e-6', unit: 'Torr', value: 0.0001333223684, as: 'Pa', tolerance: 1e-12, source: DERIVED },
  {
    id: 'U09',
    amount: '1',
    unit: 'BTU',
    value: 1055.05585262,
    as: 'J',
    tolerance: 0,
    source: `${B8} (printed 1.055056 E+03); read in an extract`,
  },
  {
    id: 'U09',
    amount: '1',
    unit: 'BTU',
    value: 252.164,
    as: 'cal',
    tolerance: 252.164 * 5e-6,
    source: `${B8}, worked ratio; read in an extract`,
  },
  {
    id: 'U10',
    amount: '1',
    unit: 'BTU*in/(h*ft^2*degF)',
    value: 0.1442279,
    as: 'W/(m*K)',
    tolerance: 1e-6,
    source: DERIVED,
  },
  { id: 'U10', amount: '1', unit: 'BTU/(h*ft*degF)', value: 1.730735, as: 'W/(m*K)', tolerance: 1e-6, source: DERIVED },
  {
    id: 'U11',
    amount: '1',
    unit: 'rd',
    value: 0.01,
    as: 'Gy',
    tolerance: 0,
    source: `${EXACT} (rad of absorbed dose)`,
  },
  { id: 'U11', amount: '100', unit: 'krd', value: 1000, as: 'Gy', tolerance: 0, source: EXACT },
  { id: 'U12', amount: '1', unit: 'ft*lbf', value: 1.3558179483, as: 'N*m', tolerance: 1e-9, source: DERIVED },
  { id: 'U12', amount: '1', unit: 'in*lbf', value: 0.112984829, as: 'N*m', tolerance: 1e-9, source: DERIVED },
  { id: 'U12', amount: '1', unit: 'ozf*in', value: 7.061551814, as: 'mN*m', tolerance: 1e-7, source: DERIVED },
  {
    id: 'U13',
    amount: '1',
    unit: 'hp',
    value: 745.6998716,
    as: 'W',
    tolerance: 1e-6,
    source: `${DERIVED} (printed 7.456999 E+02)`,
  },
  {
    id: 'U14',
    amount: '68',
    unit: 'degF',
    value: 20,
    as: 'degC',
    tolerance: 1e-12,
    source: `${B8}, temperature rows; from memory, value recomputed`,
  },
  {
    id: 'U14',
    amount: '-40',
    unit: 'degF',
    value: -40,
    as: 'degC',
    tolerance: 1e-12,
    source: `${B8}, temperature rows; from memory, value recomputed`,
  },
  {
    id: 'U14',
    amount: '212',
    unit: 'degF',
    value: 373.15,
    as: 'K',
    tolerance: 1e-10,
    source: `${B8}, temperature rows; from memory, value recomputed`,
  },
  {
    id: 'U14',
    amount: '70',
    unit: 'degF',
    value: 294.2611111,
    as: 'K',
    tolerance: 1e-6,
    source: `${B8}, temperature rows; from memory, value recomputed`,
  },
  {
    id: 'U15',
    amount: '36',
    unit: 'degF',
    value: 20,
    as: 'K',
    tolerance: 1e-12,
    difference: true,
    source: 'NIST SP 811 (2008), section 8.5; derived',
  },
  {
    id: 'U15',
    amount: '36',
    unit: 'dF',
    value: 20,
    as: 'K',
    tolerance: 1e-12,
    source: 'NIST SP 811 (2008), section 8.5; derived',
  },
  {
    id: 'U15',
    amount: '125',
    unit: 'dC',
    value: 225,
    as: 'dF',
    tolerance: 1e-9,
    source: 'NIST SP 811 (2008), section 8.5; derived',
  },
  { id: 'U16', amount: '12.9e-6', unit: '1/degF', value: 2.322e-5, as: '1/K', tolerance: 1e-12, source: DERIVED },
  {
    id: 'U17',
    amount: '1',
    unit: 'lbm/in^3',
    value: 27679.90471,
    as: 'kg/m^3',
    tolerance: 0.001,
    source: `${DERIVED} (printed 2.767990 E+04)`,
  },
  { id: 'U17', amount: '0.098', unit: 'lbm/in^3', value: 2712.630662, as: 'kg/m^3', tolerance: 0.001, source: DERIVED },
  {
    id: 'U18',
    amount: '1',
    unit: 'ksi*in^(1/2)',
    value: 1.098843485,
    as: 'MPa*m^(1/2)',
    tolerance: 1e-7,
    source: DERIVED,
  },
  { id: 'U19', amount: '1', unit: 'g0^2', value: 96.1703842, as: '(m/s^2)^2', tolerance: 1e-6, source: DERIVED },
  {
    id: 'U19',
    amount: '0.04',
    unit: 'g0^2/Hz',
    value: 3.84681537,
    as: '(m/s^2)^2/Hz',
    tolerance: 1e-7,
    source: DERIVED,
  },
  { id: 'U20', amount: '1', unit: 'lbm*in^2', value: 0.0002926396534, as: 'kg*m^2', tolerance: 1e-12, source: DERIVED },
  { id: 'U20', amount: '1', unit: 'slug*ft^2', value: 1.355817948, as: 'kg*m^2', tolerance: 1e-8, source: DERIVED },
  { id: 'U21', amount: '1', unit: 'lbf/in', value: 175.1268352, as: 'N/m', tolerance: 1e-6, source: DERIVED },
  { id: 'U21', amount: '1', unit: 'atm', value: 101325, as: 'Pa', tolerance: 0, source: EXACT },
  { id: 'U21', amount: '1', unit: 'kgf/cm^2', value: 98066.5, as: 'Pa', tolerance: 1e-6, source: DERIVED },
  { id: 'U22', amount: '1', unit: 'deg', value: 0.01745329252, as: 'rad', tolerance: 1e-11, source: DERIVED },
  { id: 'U22', amount: '1', unit: 'rpm', value: 0.1047197551, as: 'rad/s', tolerance: 1e-10, source: DERIVED },
  { id: 'U23', amount: '1', unit: 'in^4', value: 416231.4256, as: 'mm^4', tolerance: 0.001, source: DERIVED },
  { id: 'U23', amount: '1', unit: 'in^3', value: 16387.064, as: 'mm^3', tolerance: 1e-6, source: DERIVED },
];

function unit(text: string): Unit {
  const parsed = parseUnit(text);
  if (!isUnit(parsed)) throw new Error(parsed.message);
  return parsed;
}

describe('published conversions', () => {
  it.each(CASES)('$id: $amount $unit is $value $as', ({ amount, unit: from, value, as, tolerance, difference }) => {
    expect(unit(from).dimension).toBe(unit(as).dimension);
    const converted = fromSI(unit(as), toSI(unit(from), amount, { difference: difference === true }), {
      difference: difference === true,
    });
    expect(Math.abs(converted - value)).toBeLessThanOrEqual(tolerance);
  });

  it('U15: the range from -40 degC to 85 degC spans 125 K exactly enough to print as 125', () => {
    const span = toSI(unit('degC'), '85') - toSI(unit('degC'), '-40');
    expect(span).toBeCloseTo(125, 12);
  });

  /** U24: the rules of NIST SP 811 (2008), sections 7 and 8.5, in spirit, as far as units alone decide them. */
  it('U24: unlike dimensions differ, like ones are told apart by their sense', () => {
    expect(unit('N').dimension).not.toBe(unit('mm').dimension);
    expect(unit('lbf').dimension).not.toBe(unit('lbm').dimension);
    expect(unit('degC').isPoint).toBe(true);
    expect(unit('K').isPoint).toBe(false);
    expect(unit('N*m').dimension).toBe(unit('J').dimension);
    expect([unit('N*m').sense, unit('J').sense]).toEqual(['torque', 'energy']);
  });
});
