/** Text for people can be read where a terminal takes ASCII only; what machines read stays as it is. */
import { describe, expect, it, test } from 'vitest';
import { ascii, asciiThroughout, readsUtf8 } from '../../server/cli/terminal.js';
import { displayWidth } from '../../server/reports/table.js';
import { gusset } from '../support/command-line.js';

const BEYOND_ASCII = /[^\0-\x7f]/;
const plain = (...args: readonly string[]) => gusset(args, { env: { LC_ALL: 'C' } });
const full = (...args: readonly string[]) => gusset(args, { env: { LC_ALL: 'C.UTF-8' } });

describe('a terminal reads UTF-8', () => {
  it.each<[boolean, NodeJS.Platform, boolean, Record<string, string>]>([
    [true, 'linux', true, {}],
    [true, 'linux', false, {}],
    [true, 'linux', true, { LANG: 'C.UTF-8' }],
    [true, 'darwin', false, { LANG: 'de_DE.utf8' }],
    [true, 'linux', true, { LC_ALL: '', LANG: 'en_US.UTF-8' }],
    [true, 'linux', true, { LC_CTYPE: 'en_US.UTF-8', LANG: 'C' }],
    [false, 'linux', true, { LC_ALL: 'C', LANG: 'en_US.UTF-8' }],
    [false, 'linux', false, { LANG: 'POSIX' }],
    [false, 'darwin', true, { LANG: 'de_DE.ISO8859-1' }],
    [true, 'win32', true, {}],
    [true, 'win32', true, { LC_ALL: 'C' }],
    [false, 'win32', false, {}],
    [true, 'win32', false, { LANG: 'en_US.UTF-8' }],
  ])('%s on %s, a terminal: %s, %o', (expected, platform, isTerminal, env) => {
    expect(readsUtf8({ platform, env, isTerminal })).toBe(expected);
  });
});

describe('in ASCII', () => {
  it.each([
    ['45 °C', '45 degC'],
    ['−0.06 ± 2 µm', '-0.06 +/- 2 um'],
    ['N·m², s⁻¹, 10⁻¹²', 'N*m^2, s^-1, 10^-12'],
    ['a → b ≤ c ≠ d … ✓', 'a -> b <= c != d ... ok'],
    ['Ω \u2126 σ', 'ohm ohm sigma'],
    ['Ångström, Größe, Čapek', 'Angstrom, Grosse, Capek'],
    ['Пояс 梁', '\\u{41f}\\u{43e}\\u{44f}\\u{441} \\u{6881}'],
    ['\u241b]0;owned\u2407', '\\u{1b}]0;owned\\u{7}'],
    ['plain text', 'plain text'],
  ])('%s', (text, expected) => expect(ascii(text)).toBe(expected));

  it('throughout a report', () => {
    expect(asciiThroughout({ text: '1 µm', list: ['→', 2, null], none: null, flag: true })).toEqual({
      text: '1 um',
      list: ['->', 2, null],
      none: null,
      flag: true,
    });
  });
});

test('a report of text', () => {
  const { code, printed } = plain('check', 'examples/cordgrass');
  expect(code).toBe(1);
  expect(printed).not.toMatch(BEYOND_ASCII);
  expect(printed).toContain('45 degC');
  expect(full('check', 'examples/cordgrass').printed).toContain('45 °C');
  // Laid out for what is printed: the rule below the titles is as wide as the table.
  const [titles, rule] = [/^Part .*$/m.exec(printed)![0], /^-+ .*$/m.exec(printed)![0]];
  expect(displayWidth(titles)).toBeLessThanOrEqual(displayWidth(rule));
});

test('pages, help and complaints', () => {
  for (const args of [['explain', 'chain-changes-direction'], ['help', 'check'], ['explain']]) {
    const { code, printed } = plain(...args);
    expect(code, args.join(' ')).toBe(0);
    expect(printed, args.join(' ')).not.toMatch(BEYOND_ASCII);
  }
  expect(plain('check', 'Träger').complaint).toBe('Trager does not exist.\n');
  expect(full('check', 'Träger').complaint).toBe('Träger does not exist.\n');
});

test.each(['json', 'sarif', 'junit', 'github'])('what machines read is the same: %s', format => {
  const args = ['check', 'examples/cordgrass', '--format', format];
  expect(plain(...args)).toEqual(full(...args));
  if (format === 'json') expect(full(...args).printed).toMatch(BEYOND_ASCII);
});
