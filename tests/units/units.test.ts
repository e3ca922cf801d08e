import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Rational } from '../../server/base/index.js';
import type { Unit } from '../../server/units/index.js';
import {
  BASE_QUANTITIES,
  DIMENSIONLESS,
  ExactFactor,
  FORCE,
  LENGTH,
  MASS,
  NAMED_QUANTITIES,
  PRESSURE,
  TEMPERATURE,
  TORQUE,
  canRaise,
  canonicalUnitText,
  declareUnit,
  dimension,
  dimensionName,
  divide,
  exactLiteral,
  formatMargin,
  formatNumber,
  formatQuantity,
  fromSI,
  isUnit,
  multiply,
  parseDimension,
  parseUnit,
  power,
  readableUnit,
  tableSymbols,
  toSI,
  unitHint,
  unitsOfDimension,
} from '../../server/units/index.js';
import { PI } from '../../server/units/dimensions/exact.js';
import { UNIT_ROWS } from '../../server/units/tables/index.js';
import { READABLE, USUAL_COMPOUNDS } from '../../server/units/tables/readable.js';
import { SLIPS } from '../../server/units/tables/slips.js';

function unit(text: string): Unit {
  const parsed = parseUnit(text);
  if (!isUnit(parsed)) throw new Error(parsed.message);
  return parsed;
}

function problem(text: string): {
  kind: string;
  message: string;
  suggestion?: string;
  alternatives?: readonly string[];
} {
  const parsed = parseUnit(text);
  if (isUnit(parsed)) throw new Error(`${text} is a unit`);
  return parsed;
}

const anyExponent = fc.record({ num: fc.integer({ min: -6, max: 6 }), den: fc.integer({ min: 1, max: 4 }) });
const anyDimension = fc
  .array(anyExponent, { minLength: 7, maxLength: 7 })
  .map(exponents =>
    dimension(Object.fromEntries(BASE_QUANTITIES.map((quantity, index) => [quantity, exponents[index]]))),
  );
const anySymbol = fc.constantFrom(...tableSymbols());
const anyDecimal = fc
  .tuple(fc.integer({ min: -999999, max: 999999 }), fc.integer({ min: -12, max: 9 }))
  .map(([digits, exponent]) => `${digits}e${exponent}`);

/** Compound unit texts as someone may write them. */
const anyUnitText = fc
  .array(fc.tuple(anySymbol, fc.constantFrom('', '^2', '^3', '^-1', '^(1/2)', '^0.5', '²', '^(-3/2)')), {
    minLength: 1,
    maxLength: 3,
  })
  .chain(factors => {
    const texts = factors.map(([symbol, exponent]) => symbol + exponent);
    return fc.constantFrom(
      texts.join('*'),
      texts.join('·'),
      texts.join('/'),
      `1/(${texts.join('*')})`,
      `(${texts.join('/')})^2`,
    );
  })
  .filter(text => isUnit(parseUnit(text)));

describe('dimensions', () => {
  it('are interned: equal is identical', () => {
    fc.assert(
      fc.property(anyDimension, anyDimension, (a, b) => {
        expect(divide(multiply(a, b), b)).toBe(a);
        expect(multiply(a, b)).toBe(multiply(b, a));
        expect(power(power(a, 1, 2), 2)).toBe(a);
        expect(multiply(a, power(a, -1))).toBe(DIMENSIONLESS);
      }),
    );
    expect(DIMENSIONLESS.id).toBe(0);
    expect(Object.isFrozen(LENGTH)).toBe(true);
  });

  it('refuse exponents no physical quantity has', () => {
    expect(canRaise(LENGTH, 4)).toBe(true);
    expect(canRaise(LENGTH, 1, 2)).toBe(true);
    for (const [num, den] of [
      [100, 1],
      [1e300, 1],
      [NaN, 1],
      [1, 0],
      [1, 1000],
    ] as const)
      expect(canRaise(LENGTH, num, den)).toBe(false);
    expect(canRaise(DIMENSIONLESS, 10_000)).toBe(true);
  });

  it('have names an engineer says', () => {
    expect(dimensionName(FORCE)).toBe('force');
    expect(dimensionName(PRESSURE)).toBe('pressure or stress');
    expect(dimensionName(TORQUE)).toBe('torque or energy');
    expect(dimensionName(unit('g0^2/Hz').dimension)).toBe('acceleration² / frequency');
    expect(dimensionName(unit('N^2').dimension)).toBe('force²');
    expect(dimensionName(unit('N*m^3').dimension)).toBe('force × length³');
    expect(dimensionName(unit('1/mm^5').dimension)).toBe('1 / length⁵');
    expect(dimensionName(unit('m^0.5').dimension)).toBe('length^(1/2)');
    expect(dimensionName(unit('N*K').dimension)).toBe('force × temperature');
  });

  it('have a name whatever they are', () => {
    fc.assert(
      fc.property(anyDimension, any => dimensionName(any) !== ''),
      { numRuns: 50 },
    );
  });

  it('are read from type annotations', () => {
    expect(parseDimension('stress')).toBe(PRESSURE);
    expect(parseDimension('area_moment')).toBe(unit('mm^4').dimension);
    expect(parseDimension('angle')).toBe(DIMENSIONLESS);
    expect(parseDimension('flavour')).toBeUndefined();
  });

  it('are each documented once', () => {
    expect(new Set(NAMED_QUANTITIES.map(({ name }) => name)).size).toBe(NAMED_QUANTITIES.length);
    for (const { name, dimension: of, doc } of NAMED_QUANTITIES) {
      expect(doc, name).toMatch(/\.$/);
      const example = /\(([^ ]+)\)[.:;]/.exec(doc)?.[1];
      if (example !== undefined) expect(unit(example).dimension, name).toBe(of);
    }
  });
});

describe('unit tables', () => {
  it('spell no two units alike, prefixed forms and other spellings included', () => {
    const written = UNIT_ROWS.flatMap(({ symbol, prefixes, spellings = [] }) => {
      const forms = [symbol, ...spellings];
      const starts = (prefixes?.split(' ') ?? []).flatMap(prefix => (prefix === 'µ' ? ['µ', 'u'] : [prefix]));
      return [...forms, ...starts.flatMap(start => forms.map(form => start + form))];
    });
    const twice = written.filter((symbol, index) => written.indexOf(symbol) !== index);
    expect(twice).toEqual([]);
  });

  it('read every symbol back as itself', () => {
    for (const symbol of tableSymbols()) {
      expect(unit(symbol).symbol).toBe(symbol);
      expect(unit(symbol).name, symbol).toBeTruthy();
    }
  });

  it('never take a word that follows a number in the language', () => {
    const words = [
      'at',
      'any',
      'as',
      'basis',
      'by',
      'for',
      'from',
      'is',
      'normal',
      'of',
      'on',
      'or',
      'and',
      'source',
      'step',
      'tbc',
      'to',
      'uniform',
      'under',
      'within',
      'maturity',
      'where',
      'then',
      'else',
    ];
    expect(words.filter(word => isUnit(parseUnit(word)))).toEqual([]);
  });

  it('list no unit as a slip, and mean only units', () => {
    for (const [spelling, { meant }] of SLIPS) {
      expect(isUnit(parseUnit(spelling)), spelling).toBe(false);
      for (const text of meant) expect(unit(text).factor).toBeGreaterThan(0);
    }
  });

  it('print every dimension in units of that dimension, in ascending steps', () => {
    for (const { of, usual, steps } of READABLE) {
      for (const [text] of [[usual], ...steps]) expect(unit(text as string).dimension, of).toBe(parseDimension(of));
      const froms = steps.map(([, from]) => from);
      expect(froms).toEqual([...froms].sort((a, b) => a - b));
      const factors = steps.map(([text]) => unit(text).factor);
      expect(factors, of).toEqual([...factors].sort((a, b) => a - b));
    }
    for (const text of USUAL_COMPOUNDS) expect(isUnit(parseUnit(text)), text).toBe(true);
  });

  it('tell angles from cycles', () => {
    expect(unit('rev').factor).toBe(2 * Math.PI);
    expect(unit('cycle').factor).toBe(1);
    expect(unit('rad/s').sense).toBe('angular');
    expect(unit('Hz').sense).toBeUndefined();
    expect(unit('oct/min').sense).toBe('octave');
  });
});

describe('reading units', () => {
  it.each([
    ['N·m', 'N*m'],
    ['m/s²', 'm/s^2'],
    ['m⋅s⁻¹', 'm*s^-1'],
    ['um', 'µm'],
    ['\u03bcm', '\u00b5m'],
    ['°C', 'degC'],
    ['W/(m·°C)', 'W/(m*degC)'],
    ['\u2126', '\u03a9'],
    ['kohm', 'kΩ'],
    ['cm³', 'cm^3'],
    ['ml', 'mL'],
    ['MPa*m^0.5', 'MPa*m^(1/2)'],
    ['g0²/Hz', 'g0^2/Hz'],
    ['Btu', 'BTU'],
  ])('%s is %s', (written, canonical) => {
    expect(canonicalUnitText(written)).toBe(canonical);
    expect(unit(written)).toEqual(unit(canonical));
    expect(unit(written).symbol).toBe(canonical);
  });

  it.each(['m/s^2', '1/K', 'W/(m*K)', 'W/m/K', '(m/s^2)^2/Hz', '%', 'MPa*m^(1/2)', 'm^-1', '(N/mm)^(3/2)'])(
    '%s stays as it is',
    text => {
      expect(unit(text).symbol).toBe(text);
    },
  );

  it('gives the same object for the same text', () => {
    expect(parseUnit('W/(m*K)')).toBe(parseUnit('W/(m*K)'));
  });

  it('reads degrees in a compound as differences', () => {
    expect(unit('degC').isPoint).toBe(true);
    expect(unit('1/degC').isPoint).toBe(false);
    expect(unit('1/degF').exact.equals(ExactFactor.of(Rational.from('1.8')))).toBe(true);
    expect(unit('W/(m*degC)').factor).toBe(1);
  });

  it('prints what it reads back: parse ∘ print is the same unit', () => {
    fc.assert(
      fc.property(anyUnitText, text => {
        const read = unit(text);
        const again = unit(read.symbol);
        expect(again.dimension).toBe(read.dimension);
        expect(again.exact.equals(read.exact)).toBe(true);
        expect(again.symbol).toBe(read.symbol);
      }),
    );
  });

  it('never throws, whatever is typed', () => {
    const pieces = fc.constantFrom(
      'm',
      'kg',
      's',
      'g',
      'degC',
      'lb',
      '*',
      '/',
      '^',
      '(',
      ')',
      '-',
      '.',
      '2',
      '0.5',
      '1',
      '²',
      '√',
      '"',
      ' ',
      'x',
      '·',
      '#',
    );
    fc.assert(
      fc.property(
        fc.oneof(
          fc.string(),
          fc.array(pieces, { maxLength: 9 }).map(list => list.join('')),
        ),
        text => {
          const parsed = parseUnit(text);
          if (isUnit(parsed)) return;
          expect(parsed.message).not.toBe('');
        },
      ),
      { numRuns: 1000 },
    );
  });

  it('suggests only what mends the text, or at least leads on', () => {
    for (const text of ['lb/in^2', 'ft-lb', 'W/m*K', '(m', 'W/(m*C)', 'kNm', 'N.mm', 'm^1/2', 'cm-2']) {
      expect(isUnit(parseUnit(problem(text).suggestion ?? '')), text).toBe(true);
    }
  });

  it('takes declared units first', () => {
    const bay = declareUnit('bay', '42.5', unit('mm'));
    if (bay === undefined) throw new Error('no unit');
    const scope = new Map([['bay', bay]]);
    const area = parseUnit('bay^2', scope);
    expect(isUnit(area) && area.factor).toBe(0.00180625);
    expect(parseUnit('bay')).toMatchObject({ kind: 'unknown' });
    expect(declareUnit('nothing', '0', unit('mm'))).toBeUndefined();
    expect(declareUnit('word', 'ten', unit('mm'))).toBeUndefined();
  });
});

describe('slips', () => {
  it.each([
    ['g^2/Hz', 'g0^2/Hz'],
    ['G^2/Hz', 'g0^2/Hz'],
    ['grms', 'g0'],
    ['lb', 'lbm'],
    ['lb/in^2', 'lbf/in^2'],
    ['lb/in^3', 'lbm/in^3'],
    ['lb*in', 'lbf*in'],
    ['N.m', 'N*m'],
    ['ft-lb', 'ft*lbf'],
    ['Nm', 'N*m'],
    ['kNm', 'kN*m'],
    ['Nmm', 'N*mm'],
    ['inch', 'in'],
    ['Kg', 'kg'],
    ['mpa', 'MPa'],
    ['khz', 'kHz'],
    ['KN', 'kN'],
    ['W/(m*C)', 'W/(m*degC)'],
    ['1/F', '1/degF'],
    ['W/mK', 'W/(m*K)'],
    ['W/m*K', 'W/(m*K)'],
    ['mm2', 'mm^2'],
    ['lbf/in2', 'lbf/in^2'],
    ['s-1', 's^-1'],
    ['m**2', 'm^2'],
    ['m^1/2', 'm^(1/2)'],
    ['/K', '1/K'],
    ['MPa√m', 'MPa*m^(1/2)'],
    ['krad', 'krd'],
    ['millimeters', 'mm'],
    ['newton', 'N'],
    ['Tor', 'Torr'],
    ['W/(m*K', 'W/(m*K)'],
    ['km/hr', 'km/h'],
  ])('%s → %s', (written, meant) => {
    expect(problem(written).suggestion).toBe(meant);
    expect(problem(written).message).toContain('`');
  });

  it('name both pounds', () => {
    expect(problem('lb').alternatives).toEqual(['lbm', 'lbf']);
    expect(problem('lb/in^2').alternatives).toEqual(['lbf/in^2', 'lbm/in^2']);
  });

  it('explain where no unit can be suggested', () => {
    expect(problem('dB').message).toContain('logarithm');
    expect(problem('10^-6/K').message).toContain('numbers stand before the unit');
    expect(problem('furlong').message).toContain('`unit furlong = …`');
  });

  it('say what a mixed-up unit is, where its dimension is wrong', () => {
    expect(unitHint(unit('C'), TEMPERATURE)).toContain('degC');
    expect(unitHint(unit('lbf'), MASS)).toContain('lbm');
    expect(unitHint(unit('mm'), MASS)).toBeUndefined();
  });
});

describe('conversion to SI', () => {
  it('gives the same bits for the same length', () => {
    expect(toSI(unit('mm'), '25.4')).toBe(toSI(unit('in'), '1'));
    expect(toSI(unit('mm'), '7.62')).toBe(toSI(unit('in'), '0.3'));
    expect(toSI(unit('degF'), '68')).toBe(toSI(unit('degC'), '20'));
    expect(toSI(unit('g/cm^3'), '1.35')).toBe(1350);
  });

  it('rounds once, to the nearest double', () => {
    fc.assert(
      fc.property(anyDecimal, anySymbol, (text, symbol) => {
        const { exact, offset } = unit(symbol);
        const value = Rational.from(text)
          .add(offset ?? Rational.ZERO)
          .mul(exact.toRational());
        expect(toSI(unit(symbol), text)).toBe(value.toNumber());
      }),
      { numRuns: 2000 },
    );
  });

  it('takes a literal of any length', () => {
    expect(toSI(unit('mm'), '0.1000000000000000055511151231257827021181583404541015625')).toBe(0.0001);
    expect(toSI(unit('mm'), '1e400')).toBe(Infinity);
    expect(toSI(unit('mm'), '-1e999999999')).toBe(-Infinity);
    expect(toSI(unit('mm'), '1e-999999999')).toBe(0);
    expect(toSI(unit('degC'), '1e-999999999')).toBe(273.15);
    expect(toSI(unit('mm'), '0e999999999')).toBe(0);
    expect(toSI(unit('mm'), 'x')).toBeNaN();
    expect(Object.is(toSI(unit('mm'), '-0'), 0)).toBe(true);
  });

  it('goes back to the number that was written', () => {
    fc.assert(
      fc.property(anyDecimal, anySymbol, (text, symbol) => {
        const back = fromSI(unit(symbol), toSI(unit(symbol), text));
        const size = Math.max(Math.abs(Number(text)), unit(symbol).isPoint ? 500 : 0);
        if (unit(symbol).isPoint) expect(Math.abs(back - Number(text))).toBeLessThanOrEqual(size * 2.3e-16);
        else expect(back).toBe(Number(text) || 0);
      }),
    );
  });

  it('reads degrees as a difference on request', () => {
    expect(toSI(unit('degC'), '5', { difference: true })).toBe(5);
    expect(toSI(unit('degF'), '9', { difference: true })).toBe(5);
  });

  it('has one exact text for one value', () => {
    expect(exactLiteral(unit('mm'), '25.4')).toBe(exactLiteral(unit('in'), '1'));
    expect(exactLiteral(unit('deg'), '180')).toBe(exactLiteral(unit('rev'), '0.5'));
    expect(exactLiteral(unit('ksi*in^0.5'), '2')).toBe(exactLiteral(unit('psi*in^(1/2)'), '2e3'));
    expect(exactLiteral(unit('degC'), '20')).toBe(exactLiteral(unit('degF'), '68'));
    expect(exactLiteral(unit('degC'), '20', { difference: true })).not.toBe(exactLiteral(unit('degC'), '20'));
    expect(exactLiteral(unit('deg'), '-1')).toBe('-1/180 pi^1');
    expect(exactLiteral(unit('deg'), '0')).toBe('0');
  });

  it('knows π well enough (Machin: 16 arctan 1/5 − 4 arctan 1/239)', () => {
    const one = 10n ** 110n;
    const arctan = (inverse: bigint): bigint => {
      let [sum, term] = [0n, one / inverse];
      for (let n = 0n; term !== 0n; n++, term /= inverse * inverse)
        sum += ((n % 2n === 0n ? 1n : -1n) * term) / (2n * n + 1n);
      return sum;
    };
    const computed = Rational.of(16n * arctan(5n) - 4n * arctan(239n), one);
    const difference = computed.sub(PI);
    expect(difference.sign < 0 ? difference.negate() : difference).toSatisfy(
      (size: Rational) => size.compare(Rational.from('1e-100')) <= 0,
    );
  });

  it('has one form for each irrational factor', () => {
    const half = { num: 1, den: 2 };
    const inch = ExactFactor.of(Rational.from('0.0254'));
    expect(inch.pow(half).pow({ num: 2, den: 1 }).equals(inch)).toBe(true);
    expect(inch.pow(half).mul(inch.pow(half)).equals(inch)).toBe(true);
    expect(ExactFactor.of(Rational.from(4)).pow(half).isRational).toBe(true);
    expect(inch.pow(half).toNumber()).toBe(Math.sqrt(0.0254));
  });
});

describe('printing', () => {
  it.each([
    [0, '0'],
    [-0, '0'],
    [0.0254, '0.0254'],
    [3.2, '3.2'],
    [123456, '123500'],
    [1e5, '100000'],
    [1234567, '1235000'],
    [12345678, '1.235e7'],
    [0.00012346, '0.0001235'],
    [0.0000012, '1.2e-6'],
    [-585, '-585'],
    [9.9999, '10'],
    [99999, '100000'],
    [NaN, 'undetermined'],
    [Infinity, 'infinite'],
  ])('%d is printed %s', (value, text) => {
    expect(formatNumber(value)).toBe(text);
  });

  it('prints as many digits as asked for', () => {
    expect(formatNumber(Math.PI, 2)).toBe('3.1');
    expect(formatNumber(Math.PI, 10)).toBe('3.141592654');
    expect(formatNumber(1234, 1)).toBe('1000');
  });

  it('prints numbers that read back to the same digits', () => {
    fc.assert(
      fc.property(
        fc.double({ noNaN: true, noDefaultInfinity: true }),
        fc.integer({ min: 1, max: 15 }),
        (value, digits) => {
          expect(Number(formatNumber(value, digits))).toBe(Number(value.toPrecision(digits)) || 0);
        },
      ),
    );
  });

  it.each([
    [0.1099, '+0.10'],
    [0.29, '+0.29'],
    [-0.004, '-0.01'],
    [-0.03, '-0.03'],
    [-0.0301, '-0.04'],
    [0, '+0.00'],
    [-1e-10, '+0.00'],
    [-2e-9, '-0.01'],
    [4.35, '+4.35'],
    [-1, '-1.00'],
    [Infinity, 'unbounded'],
    [NaN, 'undetermined'],
  ])('the margin %d is printed %s', (margin, text) => {
    expect(formatMargin(margin)).toBe(text);
  });

  it('never prints a margin above what it is', () => {
    fc.assert(
      fc.property(fc.double({ min: -1, max: 1000, noNaN: true }), margin => {
        const printed = Number(formatMargin(margin));
        expect(printed).toBeLessThanOrEqual(margin + 1.1e-9 * Math.max(1, Math.abs(1 + margin)));
        expect(printed).toBeGreaterThan(margin - 0.0100001);
      }),
    );
  });

  it('picks a unit an engineer reads', () => {
    expect(formatQuantity(0.0032, LENGTH)).toBe('3.2 mm');
    expect(formatQuantity(2.6, LENGTH)).toBe('2.6 m');
    expect(formatQuantity(585e6, PRESSURE)).toBe('585 MPa');
    expect(formatQuantity(-54e9, PRESSURE)).toBe('-54 GPa');
    expect(formatQuantity(0.212, MASS)).toBe('212 g');
    expect(formatQuantity(2, power(LENGTH, 25))).toBe('2 m^25');
    expect(formatQuantity(0, LENGTH)).toBe('0 mm');
    expect(formatQuantity(9, TORQUE)).toBe('9 N*m');
    expect(formatQuantity(0.25, DIMENSIONLESS)).toBe('0.25');
    expect(formatQuantity(2, unit('kg^2*m/s^3').dimension)).toBe('2 m*kg^2/s^3');
    expect(formatQuantity(1e-3, LENGTH)).toBe('1 mm');
  });

  it('keeps the unit it is given', () => {
    expect(formatQuantity(0.0254, LENGTH, { unit: unit('in') })).toBe('1 in');
    expect(formatQuantity(0.1, DIMENSIONLESS, { unit: unit('%') })).toBe('10 %');
    expect(formatQuantity(0.0254, LENGTH, { unit: unit('kg') })).toBe('25.4 mm');
    expect(formatQuantity(9.80665, unit('g0').dimension, { unit: unit('g0') })).toBe('1 g0');
  });

  it('tells points of temperature from differences', () => {
    expect(formatQuantity(218.15, TEMPERATURE, { point: true })).toBe('-55 degC');
    expect(formatQuantity(293.15, TEMPERATURE, { point: true, unit: unit('degF') })).toBe('68 degF');
    expect(formatQuantity(293.15, TEMPERATURE, { point: true, unit: unit('K') })).toBe('20 degC');
    expect(formatQuantity(5, TEMPERATURE)).toBe('5 K');
    expect(formatQuantity(5, TEMPERATURE, { unit: unit('degF') })).toBe('9 dF');
  });

  it('has a unit for every dimension', () => {
    fc.assert(
      fc.property(anyDimension, any => {
        expect(readableUnit(any, 1).dimension).toBe(any);
      }),
    );
  });

  it('offers units for completion, usual ones first', () => {
    expect(unitsOfDimension(LENGTH).map(({ symbol }) => symbol)).toEqual(
      expect.arrayContaining(['mm', 'm', 'in', 'ft', 'mil']),
    );
    expect(unitsOfDimension(LENGTH)[0]?.symbol).toBe('mm');
    expect(unitsOfDimension(unit('g0^2/Hz').dimension)[0]?.symbol).toBe('g0^2/Hz');
  });
});

describe('printing a few digits', () => {
  it('gives what exact arithmetic gives', () => {
    const units = ['mm', 'in', 'MPa', 'ksi', 'g0', 'lbm', 'degC', 'degF', 'krd', 'g/cm^3'].map(unit);
    fc.assert(
      fc.property(
        fc.constantFrom(...units),
        fc.oneof(
          fc.double({ noNaN: true, noDefaultInfinity: true }),
          fc.integer({ min: -100_000, max: 100_000 }).map(n => n / 2000),
        ),
        fc.integer({ min: 1, max: 8 }),
        (of, value, digits) => {
          const si = toSI(of, String(value));
          if (!Number.isFinite(si)) return;
          const point = of.isPoint;
          expect(formatQuantity(si, of.dimension, { unit: of, digits, point })).toBe(
            `${formatNumber(fromSI(of, si), digits)} ${of.symbol}`,
          );
        },
      ),
      { numRuns: 3_000 },
    );
  });
});
