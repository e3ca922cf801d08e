import type { Exponent } from './dimensions/dimension.js';
import { reduced } from './dimensions/dimension.js';

/** One unit symbol of a compound unit, raised to a power; `start` is its offset in the canonical text. */
export interface UnitFactor {
  readonly symbol: string;
  readonly exponent: Exponent;
  readonly start: number;
}

export interface SyntaxProblem {
  readonly message: string;
  readonly suggestion?: string;
}

/** Exponents beyond this are typing errors; the bound also keeps exact factors small. */
const LARGEST_EXPONENT = 20;
const LARGEST_DENOMINATOR = 100;
const LARGEST_SUM = 60;

const SPELLINGS: readonly (readonly [RegExp, string])[] = [
  [/[·⋅∙×]/g, '*'],
  [/[−–]/g, '-'],
  [/[∕÷]/g, '/'],
  [/\u03bc/g, '\u00b5'],
  [/\u2126/g, '\u03a9'],
  [/[⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+/g, '^$&'],
];
const SUPERSCRIPTS = '⁰¹²³⁴⁵⁶⁷⁸⁹';

/** One spelling for signs and superscripts: `N·m` → `N*m`, `m/s²` → `m/s^2`. Symbols stay as they are. */
export function canonicalSigns(text: string): string {
  if (/^[\w/*^()%.]*$/.test(text)) return text;
  const replaced = SPELLINGS.reduce((result, [pattern, by]) => result.replace(pattern, by), text);
  return replaced.replace(/[⁻⁰¹²³⁴⁵⁶⁷⁸⁹]/g, sign => (sign === '⁻' ? '-' : `${SUPERSCRIPTS.indexOf(sign)}`));
}

/** Runs of characters that make up unit symbols: `g0`, `µm`, `%`, `inH2O`. */
export const SYMBOLS = /[\p{L}%°′″"'$_√][\p{L}\p{N}%°′″"'$_√]*/gu;

const SYMBOL = new RegExp(SYMBOLS.source, 'uy');
const LEADING_ONE = /1(?=\/)/y;
const EXPONENT = /-?\d+(?:\.\d+)?|\(-?\d+(?:\.\d+)?(?:\/\d+)?\)/y;

/** Reads the structure of a unit text without looking up any symbol. The text must have canonical signs. */
export function readUnit(text: string): readonly UnitFactor[] | SyntaxProblem {
  try {
    return new UnitReader(text).read();
  } catch (error) {
    if (error instanceof UnreadableUnit) return { message: error.message, ...error.mend };
    throw error;
  }
}

class UnreadableUnit extends Error {
  readonly mend: { readonly suggestion?: string };

  constructor(message: string, suggestion?: string) {
    super(message);
    this.mend = suggestion === undefined ? {} : { suggestion };
  }
}

/** unit = factor {('*' | '/') factor};  factor = (symbol | '1' | '(' unit ')') ['^' exponent] */
class UnitReader {
  private position = 0;

  constructor(private readonly text: string) {}

  read(): readonly UnitFactor[] {
    if (this.text === '') throw new UnreadableUnit('A unit is missing.');
    const factors = this.product();
    if (this.position < this.text.length) throw this.unexpected();
    if (areTooLarge(factors)) throw new UnreadableUnit(`The exponents of \`${this.text}\` are too large for a unit.`);
    return factors;
  }

  private product(): UnitFactor[] {
    const factors = this.factor();
    let divided = false;
    for (;;) {
      const operator = this.text[this.position];
      if (operator !== '*' && operator !== '/') return factors;
      if (operator === '*' && divided) throw this.ambiguous();
      divided ||= operator === '/';
      this.position++;
      factors.push(...raised(this.factor(), { num: operator === '/' ? -1 : 1, den: 1 }));
    }
  }

  private factor(): UnitFactor[] {
    const base = this.atom();
    if (this.text[this.position] !== '^') return base;
    this.position++;
    return raised(base, this.exponent());
  }

  private atom(): UnitFactor[] {
    if (this.text[this.position] === '(') return this.bracket();
    const start = this.position;
    const symbol = this.match(SYMBOL);
    if (symbol !== undefined) return [{ symbol, exponent: { num: 1, den: 1 }, start }];
    if (this.match(LEADING_ONE) !== undefined) return [];
    throw this.unexpected();
  }

  private bracket(): UnitFactor[] {
    this.position++;
    const inside = this.product();
    if (this.text[this.position] === undefined) {
      throw new UnreadableUnit(`A closing bracket is missing in \`${this.text}\`.`, `${this.text})`);
    }
    if (this.text[this.position] !== ')') throw this.unexpected();
    this.position++;
    return inside;
  }

  private exponent(): Exponent {
    const start = this.position;
    const written = this.match(EXPONENT);
    if (written === undefined) {
      throw new UnreadableUnit(`After \`^\` a number is due: \`m^2\`, \`s^-1\`, \`m^(1/2)\`.`);
    }
    const exponent = exponentFrom(written.replace(/[()]/g, ''));
    if (exponent === undefined) {
      throw new UnreadableUnit(
        `The exponent ${written} is no exponent of a unit; it lies within ±${LARGEST_EXPONENT} and is not finer than 1/${LARGEST_DENOMINATOR}.`,
      );
    }
    const root = /^\/(\d+)/.exec(this.text.slice(this.position));
    if (root !== null) {
      const mended = `${this.text.slice(0, start)}(${written}/${root[1]})${this.text.slice(this.position + root[0].length)}`;
      throw new UnreadableUnit(`A fraction as exponent needs brackets: \`${mended}\`.`, mended);
    }
    return exponent;
  }

  private match(sticky: RegExp): string | undefined {
    sticky.lastIndex = this.position;
    const found = sticky.exec(this.text)?.[0];
    this.position += found?.length ?? 0;
    return found;
  }

  /** `W/m*K`: the trade reads it both ways, so neither is taken. */
  private ambiguous(): UnreadableUnit {
    const slash = this.text.lastIndexOf('/', this.position);
    const mended = `${this.text.slice(0, slash + 1)}(${this.text.slice(slash + 1)})`;
    return new UnreadableUnit(
      `\`${this.text}\` can be read in two ways; what is divided by goes into brackets: \`${mended}\`.`,
      mended,
    );
  }

  private unexpected(): UnreadableUnit {
    const { text, position } = this;
    const before = text.slice(0, position);
    const after = text.slice(position);
    const power = /^-(?=\d)/.exec(after);
    if (power !== null && /[\p{L}]$/u.test(before))
      return this.mended(`${before}^${after}`, 'a power is written with `^`');
    if (/^[.-][\p{L}(]/u.test(after))
      return this.mended(`${before}*${after.slice(1)}`, 'a product of units is written with `*`');
    if (/^\*\*/.test(text.slice(position - 1)))
      return this.mended(text.replaceAll('**', '^'), 'a power is written with `^`');
    if (/^\d/.test(after)) {
      return new UnreadableUnit(
        `\`${text}\` has a number where a unit is due; numbers stand before the unit: \`24e-6 1/K\`.`,
      );
    }
    if (after === '') return new UnreadableUnit(`\`${text}\` ends where a unit is due.`);
    if (before === '' && after.startsWith('/'))
      return this.mended(`1${text}`, 'a unit that only divides starts with `1/`');
    return new UnreadableUnit(`\`${[...after][0]}\` cannot stand in the unit \`${text}\`.`);
  }

  private mended(suggestion: string, rule: string): UnreadableUnit {
    return new UnreadableUnit(`\`${this.text}\` is no unit; ${rule}: \`${suggestion}\`.`, suggestion);
  }
}

function areTooLarge(factors: readonly UnitFactor[]): boolean {
  const sum = factors.reduce((total, { exponent }) => total + Math.abs(exponent.num / exponent.den), 0);
  const denominator = factors.reduce((common, { exponent }) => common * reduced(exponent.den, common).num, 1);
  return sum > LARGEST_SUM || denominator > LARGEST_DENOMINATOR;
}

function raised(factors: readonly UnitFactor[], by: Exponent): UnitFactor[] {
  return factors.map(factor => ({
    ...factor,
    exponent: reduced(factor.exponent.num * by.num, factor.exponent.den * by.den),
  }));
}

/** `2`, `-1`, `0.5`, `-3/2` as a fraction; undefined beyond what a unit can have. */
function exponentFrom(text: string): Exponent | undefined {
  const [above = '', below = '1'] = text.split('/');
  const decimals = above.split('.')[1]?.length ?? 0;
  const den = Number(below) * 10 ** decimals;
  if (den === 0 || decimals > 2) return undefined;
  const exponent = reduced(Math.round(Number(above) * 10 ** decimals), den);
  const isUsual = Math.abs(exponent.num / exponent.den) <= LARGEST_EXPONENT && exponent.den <= LARGEST_DENOMINATOR;
  return isUsual && exponent.num !== 0 ? exponent : undefined;
}
