/** What people type, or a word processor puts in, where the language writes something else: named, with the mend. */
import { isUnit, parseUnit } from '../units/index.js';
import { mayBeUnit } from '../language/index.js';

export interface Slip {
  readonly message: string;
  /** Behind its last character. */
  readonly end: number;
  /** What may be meant, best first; several where only the engineer knows. */
  readonly replacements: readonly string[];
}

// ---- characters -----------------------------------------------------------------------------------------------------

/** Name of a character and what the language writes for it; an empty text where it is left out. */
const CHARACTERS: ReadonlyMap<string, readonly [name: string, write: string]> = new Map([
  ...alike('-', [
    ['‐', 'a hyphen of typesetters'],
    ['‑', 'a no-break hyphen'],
    ['‒', 'a figure dash'],
    ['–', 'an en dash'],
    ['—', 'an em dash'],
    ['―', 'a horizontal bar'],
    ['﹣', 'a small hyphen'],
  ]),
  ...alike(' ', [
    ['\u00a0', 'a no-break space'],
    ['\u2002', 'an en space'],
    ['\u2003', 'an em space'],
    ['\u2004', 'a third of an em space'],
    ['\u2005', 'a quarter of an em space'],
    ['\u2006', 'a sixth of an em space'],
    ['\u2007', 'a figure space'],
    ['\u2008', 'a punctuation space'],
    ['\u2009', 'a thin space'],
    ['\u200a', 'a hair space'],
    ['\u202f', 'a narrow no-break space'],
    ['\u205f', 'a mathematical space'],
    ['\u3000', 'a full-width space'],
  ]),
  ...alike('', [
    ['\u00ad', 'a soft hyphen, which is not seen'],
    ['\u200b', 'a zero-width space, which is not seen'],
    ['\u200c', 'a zero-width non-joiner, which is not seen'],
    ['\u200d', 'a zero-width joiner, which is not seen'],
    ['\u2060', 'a word joiner, which is not seen'],
    ['\ufeff', 'a zero-width no-break space, which is not seen'],
  ]),
  ...alike('*', [
    ['⋅', 'a dot operator'],
    ['∙', 'a bullet operator'],
    ['•', 'a bullet'],
    ['∗', 'an asterisk operator'],
    ['✕', 'a multiplication mark'],
  ]),
  ...alike('/', [
    ['÷', 'a division sign'],
    ['⁄', 'a fraction slash'],
    ['∕', 'a division slash'],
  ]),
  ...alike('<=', [
    ['⩽', 'a slanted less-or-equal'],
    ['≦', 'a less-or-equal with two bars'],
  ]),
  ...alike('>=', [
    ['⩾', 'a slanted greater-or-equal'],
    ['≧', 'a greater-or-equal with two bars'],
  ]),
  ...alike('->', [
    ['⇒', 'a double arrow'],
    ['⟶', 'a long arrow'],
  ]),
  ...alike('sqrt', [['√', 'a root sign']]),
  ...alike('degC', [['℃', 'a degree Celsius in one character']]),
  ...alike('degF', [['℉', 'a degree Fahrenheit in one character']]),
  ...alike('in', [['″', 'a double prime, for inches']]),
  ...alike('..', [['…', 'an ellipsis in one character']]),
  ...alike('"', [
    ['“', 'a typographic quote'],
    ['”', 'a typographic quote'],
    ['„', 'a low typographic quote'],
    ['‟', 'a typographic quote'],
    ['«', 'an angled quote'],
    ['»', 'an angled quote'],
  ]),
]);

function alike(
  write: string,
  characters: readonly (readonly [string, string])[],
): [string, readonly [string, string]][] {
  return characters.map(([character, name]) => [character, [name, write]]);
}

const TYPOGRAPHIC_TEXT = /["“”„‟«»][^"“”„‟«»\n\r]*["“”„‟«»]/uy;
/** A character that the language does not know but has another for. */
export function characterSlip(text: string, offset: number): Slip | null {
  const character = String.fromCodePoint(text.codePointAt(offset)!);
  const quoted = '“”„‟«»'.includes(character) ? matchAt(TYPOGRAPHIC_TEXT, text, offset) : undefined;
  if (quoted !== undefined)
    return {
      message: `A text stands in plain quotes: write "${quoted.slice(1, -1)}".`,
      end: offset + quoted.length,
      replacements: [`"${quoted.slice(1, -1)}"`],
    };
  const plain = character.normalize('NFKC');
  const [name, write] =
    CHARACTERS.get(character) ??
    (plain !== character && /^[\x21-\x7e]+$/.test(plain) ? ['another width or style of a letter', plain] : []);
  if (name === undefined || write === undefined) return null;
  const mend = write === '' ? 'take it out' : write === ' ' ? 'write a plain space' : `write ${write}`;
  return {
    message: `${write === '' || write === ' ' ? 'Here' : `'${character}'`} is ${name}, ${codePoint(character)}: ${mend}.`,
    end: offset + character.length,
    replacements: [write],
  };
}

/** `U+2011`. */
export function codePoint(character: string): string {
  return `U+${character.codePointAt(0)!.toString(16).toUpperCase().padStart(4, '0')}`;
}

/** Letters that stand for themselves though another character is said to be compatible with them. */
const KEPT = /[µªº\u2080-\u2089]/u;

/** A word of full-width, ornamental or joined letters. */
export function wordSlip(word: string, offset: number): Slip | null {
  const plain = [...word].map(letter => (KEPT.test(letter) ? letter : letter.normalize('NFKC'))).join('');
  if (plain.normalize('NFC') === word.normalize('NFC')) return null;
  return {
    message: `'${word}' is written in another width or style of letters: write ${plain}.`,
    end: offset + word.length,
    replacements: [plain],
  };
}

/** Turns the order of what is seen round, so that it is not what is read. */
export const BIDIRECTIONAL = /[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]/g;

export function bidirectionalSlip(character: string, offset: number): Slip {
  return {
    message: `Here stands a control of the writing direction, ${codePoint(character)}: what is seen may not be what is read. Take it out.`,
    end: offset + 1,
    replacements: [''],
  };
}

// ---- numbers --------------------------------------------------------------------------------------------------------

const DIGITS = String.raw`\d+(?:\.\d+)?`;
const WITH_SPACES = /\d{1,3}(?:[ \u00a0\u2009\u202f]\d{3})+(?:\.\d+)?(?![\d\p{L}-])/uy;
const WITH_UNDERSCORES = /\d+(?:_\d+)+(?:\.\d+)?/y;
const RAISED_DOT = /\d+[·⋅]\d+(?![\d.])/uy;
const WITH_COMMA = /\d+(?:,\d+)+(?:\.\d+)?(?![\d.])/y;
const DOTTED_DATE = /\d{1,2}\.\d{1,2}\.\d{4}(?![\d.])/uy;
const POINT_AT_END = /\d+\.(?![.\d\p{L}])/uy;
const SCIENTIFIC = new RegExp(
  String.raw`(?:(${DIGITS})[ \t]*[×·⋅x*][ \t]*)?10(?:\^\(?(-?\d+)\)?|([⁻⁰¹²³⁴-⁹]+))[ \t]*(?=1\/[\p{L}(]|[\p{L}%‰°µ])`,
  'uy',
);
const UNIT_BEHIND = /(?:1\/)?[\p{L}%‰°µ][\p{L}\p{N}°_*/^²³().-]*/uy;
const WORD_BEHIND = /[\p{L}_]+/uy;
const SUPERSCRIPTS = '⁰¹²³⁴⁵⁶⁷⁸⁹';
/** A row of a table behind a comma: `…,30 degC -> 5 mm`. */
const ROW_BEHIND = /,\d+(?:\.\d+)?[ \t]*[\p{L}%°µ]*[ \t]*(?:->|→)/uy;

/** A number that is not written as the language does. `inList`: a comma may stand between two of them. */
export function numberSlip(text: string, offset: number, inList: boolean): Slip | null {
  return (
    scientific(text, offset) ??
    simple(WITH_SPACES, text, offset, number => number.replace(/[^\d.]/g, '')) ??
    simple(WITH_UNDERSCORES, text, offset, number => number.replaceAll('_', '')) ??
    raisedDot(text, offset) ??
    (inList ? null : withComma(text, offset)) ??
    simple(POINT_AT_END, text, offset, number => number.slice(0, -1))
  );
}

/** A day as it is written with points: 12.05.2027. */
export function dateSlip(text: string, offset: number): Slip | null {
  const written = matchAt(DOTTED_DATE, text, offset);
  if (written === undefined) return null;
  const [day, month, year] = written.split('.');
  const meant = `${year}-${month!.padStart(2, '0')}-${day!.padStart(2, '0')}`;
  return {
    message: `A day is written year first: write ${meant}.`,
    end: offset + written.length,
    replacements: [meant],
  };
}

function simple(pattern: RegExp, text: string, offset: number, plain: (number: string) => string): Slip | null {
  const written = matchAt(pattern, text, offset);
  return written === undefined ? null : slip(written, offset, [plain(written)]);
}

function slip(written: string, offset: number, replacements: readonly string[], hint = ''): Slip {
  return {
    message: `'${written}' is not a number: write ${replacements.join(', or ')}${hint}.`,
    end: offset + written.length,
    replacements,
  };
}

function raisedDot(text: string, offset: number): Slip | null {
  const written = matchAt(RAISED_DOT, text, offset);
  if (written === undefined) return null;
  const [whole, part] = written.split(/[·⋅]/);
  return slip(written, offset, [`${whole}.${part}`, `${whole} * ${part}`], ' for a product');
}

function withComma(text: string, offset: number): Slip | null {
  const written = matchAt(WITH_COMMA, text, offset);
  if (written === undefined || matchAt(ROW_BEHIND, text, offset + written.indexOf(',')) !== undefined) return null;
  return slip(written, offset, commaMeanings(written));
}

/** What a number with commas may mean: `0,125` is a decimal, `12,500,000` has thousands, `1,500` may be either. */
export function commaMeanings(written: string): string[] {
  const groups = written.split(',');
  const whole = groups.join('');
  const isGrouped = /^[1-9]\d{0,2}(?:,\d{3})+(?:\.\d+)?$/.test(written);
  if (groups.length > 2 || written.includes('.')) return [whole];
  return isGrouped ? [whole, groups.join('.')] : [groups.join('.')];
}

/** `3×10³ N`, `10⁻⁶ 1/K`: a power of ten takes the unit behind it for that of its exponent. */
function scientific(text: string, offset: number): Slip | null {
  const written = matchAt(SCIENTIFIC, text, offset);
  if (written === undefined) return null;
  const behind = offset + written.length;
  const unit = matchAt(UNIT_BEHIND, text, behind);
  const word = matchAt(WORD_BEHIND, text, behind);
  if (unit === undefined || (word !== undefined && !mayBeUnit(word)) || !isUnit(parseUnit(unit))) return null;
  SCIENTIFIC.lastIndex = offset;
  const [, mantissa = '1', power, raised = ''] = SCIENTIFIC.exec(text)!;
  const exponent = power ?? [...raised].map(sign => (sign === '⁻' ? '-' : String(SUPERSCRIPTS.indexOf(sign)))).join('');
  return slip(written.trimEnd(), offset, [`${mantissa}e${exponent}`]);
}

const POINT_FIRST = /\.\d+(?:[eE][+-]?\d+)?/y;

/** `.5`. */
export function pointSlip(text: string, offset: number): Slip | null {
  return simple(POINT_FIRST, text, offset, number => `0${number}`);
}

const LIMIT = String.raw`[+\-−]?[ \t]*\d+(?:[.,]\d+)?`;
const COMMA_LIMITS = new RegExp(String.raw`\([ \t]*(${LIMIT})[ \t]*[,;][ \t]+(${LIMIT})[ \t]*\)`, 'uy');

/** `(+0,1, -0)`: limits with decimal commas. */
export function limitsSlip(text: string, offset: number): Slip | null {
  COMMA_LIMITS.lastIndex = offset;
  const found = COMMA_LIMITS.exec(text);
  if (!found) return null;
  const [written, first = '', second = ''] = found;
  if (!`${first}${second}`.includes(',') || !/^[+\-−]/.test(first) || !/^[+\-−]/.test(second)) return null;
  const plain = `(${first.replace(',', '.')}, ${second.replace(',', '.')})`;
  return {
    message: `Decimals stand behind a point: write ${plain}.`,
    end: offset + written.length,
    replacements: [plain],
  };
}

// ---- units ----------------------------------------------------------------------------------------------------------

const SPACED_DEGREES = /(?:deg|°)\.?[ \t\u00a0]+[CF](?![\p{L}\p{N}_]|[ \t]*=)/uy;
const HYPHENATED = /[\p{L}%°µ][\p{L}\p{N}°_²³^]*(?:-[\p{L}][\p{L}\p{N}_²³^]*)+/uy;

/** `20 deg C`, `5 N-m`, `3 ft-lb`. */
export function unitSlip(text: string, offset: number): Slip | null {
  const degrees = matchAt(SPACED_DEGREES, text, offset);
  if (degrees !== undefined) return unitMeant(degrees, offset, [`deg${degrees.at(-1)!}`]);
  const hyphenated = matchAt(HYPHENATED, text, offset);
  if (hyphenated === undefined) return null;
  const problem = parseUnit(hyphenated);
  if (isUnit(problem) || problem.suggestion === undefined || !isUnit(parseUnit(problem.suggestion))) return null;
  return unitMeant(hyphenated, offset, problem.alternatives ?? [problem.suggestion]);
}

function unitMeant(written: string, offset: number, replacements: readonly string[]): Slip {
  return {
    message: `'${written}' is not a unit: write ${replacements.join(', or ')}.`,
    end: offset + written.length,
    replacements,
  };
}

function matchAt(pattern: RegExp, text: string, offset: number): string | undefined {
  pattern.lastIndex = offset;
  return pattern.test(text) ? text.slice(offset, pattern.lastIndex) : undefined;
}
