/** Text for people: as it is where the terminal reads UTF-8, else in ASCII. What machines read is always UTF-8. */

export interface Surroundings {
  readonly platform: NodeJS.Platform;
  readonly env: Readonly<Record<string, string | undefined>>;
  readonly isTerminal: boolean;
}

/**
 * By the locale that was chosen; where none was, as terminals are today. Windows' console takes any character, and a
 * program that reads a pipe there decodes it by a code page, which only a locale could tell.
 */
export function readsUtf8({ platform, env, isTerminal }: Surroundings): boolean {
  const locale = env.LC_ALL || env.LC_CTYPE || env.LANG;
  if (platform === 'win32' && isTerminal) return true;
  return locale ? /utf-?8/i.test(locale) : platform !== 'win32';
}

export function print(text: string): void {
  process.stdout.write(isPlain(process.stdout) ? ascii(text) : text);
}

export function complain(text: string): void {
  process.stderr.write(isPlain(process.stderr) ? ascii(text) : text);
}

/** Whether a stream takes ASCII only. */
export function isPlain({ isTTY }: { readonly isTTY?: boolean }): boolean {
  return !readsUtf8({ platform: process.platform, env: process.env, isTerminal: isTTY === true });
}

/** The texts anywhere in `value` in ASCII: before they are laid out, so that columns stay columns. */
export function asciiThroughout<T>(value: T): T {
  if (typeof value === 'string') return ascii(value) as T;
  if (Array.isArray(value)) return value.map(asciiThroughout) as T;
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([name, each]) => [name, asciiThroughout(each)])) as T;
}

/** As the language writes the same in ASCII where it can, else by the letter without its mark, else by its number. */
export function ascii(text: string): string {
  return text
    .replace(/[⁺⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+/g, power => `^${power.normalize('NFKC').replace('\u2212', '-')}`)
    .replace(/[^\0-\x7f]/gu, character => standIn(character));
}

function standIn(character: string): string {
  const known = STAND_INS[character] ?? STAND_INS[character.normalize('NFKC')];
  if (known !== undefined) return known;
  const [letter = ''] = character.normalize('NFKD');
  if (letter <= '\x7f') return letter;
  const code = character.codePointAt(0)!;
  // Stand for control characters themselves.
  return `\\u{${(code >= 0x2400 && code < 0x2420 ? code - 0x2400 : code).toString(16)}}`;
}

const STAND_INS: Readonly<Record<string, string | undefined>> = {
  '−': '-',
  '–': '-',
  '—': '-',
  '…': '...',
  '·': '*',
  '⋅': '*',
  '∙': '*',
  '×': 'x',
  '÷': '/',
  '∕': '/',
  '±': '+/-',
  '≤': '<=',
  '≥': '>=',
  '≠': '!=',
  '≈': '~',
  '√': 'sqrt',
  '∞': 'inf',
  '∑': 'sum',
  '→': '->',
  '←': '<-',
  '⇄': '<->',
  '✓': 'ok',
  '✗': 'x',
  '•': '*',
  '‘': "'",
  '’': "'",
  '“': '"',
  '”': '"',
  '′': "'",
  '″': '"',
  '°': 'deg',
  º: 'deg',
  '℃': 'degC',
  '℉': 'degF',
  '‰': 'permille',
  ß: 'ss',
  μ: 'u',
  Ω: 'ohm',
  α: 'alpha',
  β: 'beta',
  γ: 'gamma',
  δ: 'delta',
  ε: 'epsilon',
  ζ: 'zeta',
  η: 'eta',
  θ: 'theta',
  κ: 'kappa',
  λ: 'lambda',
  ν: 'nu',
  ξ: 'xi',
  π: 'pi',
  ρ: 'rho',
  σ: 'sigma',
  τ: 'tau',
  φ: 'phi',
  χ: 'chi',
  ψ: 'psi',
  ω: 'omega',
  Δ: 'Delta',
  Σ: 'Sigma',
  Φ: 'Phi',
  '─': '-',
  '│': '|',
  '├': '+',
  '└': '+',
  '┌': '+',
  '┐': '+',
  '┘': '+',
  '┼': '+',
};
