import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { formatText } from '../../server/syntax/formatter.js';
import { parsePiece } from '../../server/syntax/parser.js';

const read = (path: string): string => readFileSync(new URL(`../../${path}`, import.meta.url), 'utf8');
const { textMateGrammar } = (await import(new URL('../../scripts/generate-grammar.mjs', import.meta.url).href)) as {
  textMateGrammar(): unknown;
};

/** All texts under `key`, at any depth. */
function valuesOf(node: unknown, key: RegExp): string[] {
  if (typeof node !== 'object' || node === null) return [];
  return Object.entries(node).flatMap(([name, value]) =>
    key.test(name) && typeof value === 'string' ? [value] : valuesOf(value, key),
  );
}

describe('colours', () => {
  const grammar = JSON.parse(read('grammar/gusset.tmLanguage.json')) as { repository: Record<string, unknown> };

  it('are generated from the words of the language', () => {
    expect(grammar, 'run node scripts/generate-grammar.mjs').toEqual(textMateGrammar());
  });

  it('use patterns that compile and rules that exist', () => {
    const patterns = valuesOf(grammar, /^(match|begin|end)$/);
    expect(patterns.length).toBeGreaterThan(20);
    for (const pattern of patterns) expect(() => new RegExp(pattern, 'u')).not.toThrow();
    for (const name of valuesOf(grammar, /^include$/)) expect(grammar.repository).toHaveProperty(name.slice(1));
  });

  it.each([
    ['20 mm', '20', 'mm'],
    ['24e-6 1/K', '24e-6', '1/K'],
    ['0.026 g0^2/Hz', '0.026', 'g0^2/Hz'],
    ['5 W/(m*K)', '5', 'W/(m*K)'],
    ['3 m/s²', '3', 'm/s²'],
    ['10 %', '10', '%'],
    ['4 in', '4', 'in'],
    ['5 and', '5', undefined],
    ['2   t = 3', '2', undefined],
    ['4 within', '4', undefined],
    ['3 tbc', '3', undefined],
  ])('take %j as number and unit', (text, number, unit) => {
    const [pattern] = valuesOf(grammar.repository['quantities'], /^match$/);
    const found = new RegExp(pattern!, 'u').exec(text);
    expect(found?.[1]).toBe(number);
    expect(found?.[2]).toBe(unit);
  });
});

describe('language configuration', () => {
  const configuration = JSON.parse(read('grammar/language-configuration.json')) as {
    wordPattern: { pattern: string; flags: string };
    indentationRules: Record<string, string>;
  };

  it.each([
    ['parent STR-010, L-2291', ['parent', 'STR-010', 'L-2291']],
    ['#JNT-SEP/J12.x', ['JNT-SEP/J12', 'x']],
    ['a-b - 2.5e-3', ['a', 'b', '2.5e-3']],
    ['σ_b + é1', ['σ_b', 'é1']],
  ])('finds the words of %j', (text, words) => {
    const { pattern, flags } = configuration.wordPattern;
    expect(text.match(new RegExp(pattern, `g${flags}`))).toEqual(words);
  });

  it.each([
    ['part A "x {" {', true],
    ['part A { a = 1 mm', true],
    ['let a = f(  // why', true],
    ['psd = [', true],
    ['part A { a = 1 mm }', false],
    ['let a = "{"', false],
    ['let a = f(b)', false],
    ['// part A {', false],
    ['}', false],
    ['let a = b / c', false],
  ])('indents behind %j: %s', (line, indents) => {
    expect(new RegExp(configuration.indentationRules['increaseIndentPattern']!).test(line)).toBe(indents);
  });

  it('has rules that compile', () => {
    for (const pattern of Object.values(configuration.indentationRules))
      expect(() => new RegExp(pattern)).not.toThrow();
  });
});

describe('snippets', () => {
  const snippets = Object.entries(JSON.parse(read('grammar/snippets.json')) as Record<string, { body: string[] }>);

  /**
   * What stands in the editor when every place is left as offered; a place that occurs again repeats its first text.
   */
  function expand(body: readonly string[]): string {
    const first = new Map<string, string>();
    return body
      .join('\n')
      .replaceAll('$CURRENT_YEAR-$CURRENT_MONTH-$CURRENT_DATE', '2027-01-08')
      .replace(
        /\$\{(\d+)(?::([^}]*)|\|([^,|]*)[^}]*)\}/g,
        (_, place: string, text: string | undefined, choice: string | undefined) => {
          if (!first.has(place)) first.set(place, text ?? choice ?? '');
          return first.get(place)!;
        },
      )
      .replace(/\n *\$0/g, '');
  }

  it.each(snippets)('%s parses and is formatted', (_, { body }) => {
    const text = `${expand(body)}\n`;
    expect(parsePiece(text).problems).toEqual([]);
    expect(formatText(text)).toBe(text);
  });
});
