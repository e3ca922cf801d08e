import { expect, test } from 'vitest';
import { formulaMathML, symbol } from '../../server/reports/formula/mathml.js';
import { typesetMathML } from '../../server/reports/formula/typeset.js';
import { openTexts } from '../support/fixture.js';

function mathml(expression: string, name: string | null = null): string | null {
  const project = openTexts({ 'a.gus': `let it = ${expression}\n` });
  return (
    formulaMathML(name, project.namespace.root.values.get('it')!.value)?.replace(
      /<\/?mrow>|^<math[^>]*>|<\/math>$/g,
      '',
    ) ?? null
  );
}

test.each([
  [
    '6 * M / (b * t^2)',
    '<mfrac><mn>6</mn><mo>⋅</mo><mi>M</mi><mi>b</mi><mo>⋅</mo><msup><mi>t</mi><mn>2</mn></msup></mfrac>',
  ],
  ['(a + b) * c', '<mo>(</mo><mi>a</mi><mo>+</mo><mi>b</mi><mo>)</mo><mo>⋅</mo><mi>c</mi>'],
  ['a - (b - c)', '<mi>a</mi><mo>−</mo><mo>(</mo><mi>b</mi><mo>−</mo><mi>c</mi><mo>)</mo>'],
  ['-a^2', '<mo>−</mo><msup><mi>a</mi><mn>2</mn></msup>'],
  ['(a / b)^2', '<msup><mo>(</mo><mfrac><mi>a</mi><mi>b</mi></mfrac><mo>)</mo><mn>2</mn></msup>'],
  ['sqrt(Bus.sigma_b)', '<msqrt><msub><mi>σ</mi><mi>b</mi></msub></msqrt>'],
  ['3.2 mm + x', '<mn>3.2</mn><mspace width="0.2em"/><mtext>mm</mtext><mo>+</mo><mi>x</mi>'],
  ['material.ultimate.z(T)', '<msub><mi>ultimate</mi><mi>z</mi></msub><mo>(</mo><mi>T</mi><mo>)</mo>'],
  ['abs(L.axial)', '<mo>|</mo><mi>axial</mi><mo>|</mo>'],
  [
    'bending(M = m, b = w)',
    '<mi>bending</mi><mo>(</mo><mi>M</mi><mo>=</mo><mi>m</mi><mo>,</mo><mi>b</mi><mo>=</mo><mi>w</mi><mo>)</mo>',
  ],
])('%s', (expression, expected) => {
  expect(mathml(expression)).toBe(expected);
});

test('a name stands before it', () => {
  expect(mathml('a', 'F_tu')).toBe('<msub><mi>F</mi><mi>tu</mi></msub><mo>=</mo><mi>a</mi>');
  expect(symbol('N_cr_x')).toContain('<mi>x</mi>');
});

test('what is no formula is not drawn', () => {
  expect(mathml('"a text"')).toBeNull();
  expect(mathml('[1 mm -> 2 N, 2 mm -> 3 N]')).toBeNull();
});

test('a picture is SVG in ASCII, in the colour asked for, and closed against markup in names', () => {
  const svg = typesetMathML(
    formulaMathML(
      'sigma_b',
      openTexts({ 'a.gus': 'let it = 6 * M / (b * t^2)\n' }).namespace.root.values.get('it')!.value,
    )!,
    '#123456',
  );
  expect(svg).toMatch(/^<svg/);
  expect(svg).toMatch(/#123456/);
  expect(svg).not.toMatch(/[^\x20-\x7e]|currentColor|<script/);
  expect(symbol('a<b>')).toBe('<mi>a&#60;b&#62;</mi>');
});
