/** Imprints of values: what changes them, and what does not. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { valueKey } from '../../server/engine/evaluation/cell-key.js';
import { imprintOf } from '../../server/engine/imprint.js';
import { openTexts } from '../support/fixture.js';

function imprint(text: string, name = 'a'): string | null {
  const { evaluation } = openTexts({ 'project.gus': 'project P { date = 2027-01-01 }', 'a.gus': text }).view;
  return imprintOf(evaluation.cell(evaluation.namespace.root, valueKey(name))!, evaluation.units);
}

const TABLE = 'let a = ["M3" -> 5.03 mm^2, "M4" -> 8.78 mm^2] exact basis A source "s"';

test.each([
  ['layout and comments', 'let a = [  // sizes\n  "M3" -> 5.03 mm^2,\n  "M4" -> 8.78 mm^2\n] exact basis A source "s"'],
  ['units', 'let a = ["M3" -> 0.0503 cm^2, "M4" -> 8.78e-6 m^2] exact basis A source "s"'],
  ['a source', 'let a = ["M3" -> 5.03 mm^2, "M4" -> 8.78 mm^2] exact basis A source "t" tbc'],
  ['its place', `let b = 2 mm\n\n${TABLE}`],
  ['its name', TABLE.replace('let a', 'let b')],
])('%s is the same', (_, text) => {
  expect(imprint(text, text.includes('let a') ? 'a' : 'b')).toBe(imprint(TABLE));
});

test.each([
  ['a number', TABLE.replace('8.78', '8.79')],
  ['a unit', TABLE.replace('8.78 mm^2', '8.78 cm^2')],
  ['a key', TABLE.replace('M4', 'M5')],
  ['an entry less', TABLE.replace(', "M4" -> 8.78 mm^2', '')],
  ['the order', 'let a = ["M4" -> 8.78 mm^2, "M3" -> 5.03 mm^2] exact basis A source "s"'],
  ['how it is read', TABLE.replace('exact', 'step')],
  ['a basis', TABLE.replace('basis A', 'basis B')],
])('%s makes another', (_, text) => {
  expect(imprint(text)).not.toBe(imprint(TABLE));
});

test('what it reads counts, however far below', () => {
  const model = (x: string, f: string): string =>
    `let c = ${x}\nlet f(t) = ${f}\nlet b = 2 * c\nlet a = f(b) + sqrt(4)`;
  const base = imprint(model('3 mm', 't / 1 mm'));
  expect(imprint(model('0.3 cm', 't / 1 mm'))).toBe(base);
  expect(imprint(model('3.1 mm', 't / 1 mm'))).not.toBe(base);
  expect(imprint(model('3 mm', '2 * t / 1 mm'))).not.toBe(base);
});

test('two numbers have the same imprint exactly when they are the same, in whatever unit', () => {
  const lengths = fc.record({
    micrometres: fc.integer({ min: 1, max: 60 }),
    unit: fc.constantFrom('um', 'mm', 'm', 'nm'),
  });
  const scales = { um: 0, mm: -3, m: -6, nm: 3 } as const;
  const written = ({ micrometres, unit }: { micrometres: number; unit: keyof typeof scales }): string =>
    `let a = ${micrometres}e${scales[unit]} ${unit}`;
  fc.assert(
    fc.property(lengths, lengths, (x, y) => {
      expect(imprint(written(x)) === imprint(written(y))).toBe(x.micrometres === y.micrometres);
    }),
    { numRuns: 60 },
  );
});

test('a value that reads a data file has none', () => {
  expect(
    imprint('table Press = file("press.csv") { force as kN "Force" }\nlet a = max(for r in Press: r.force)'),
  ).toBeNull();
});

test('what many values read is looked at once', () => {
  const steps = Array.from({ length: 60 }, (_, i) => `let v${i + 1} = v${i} + w${i}\nlet w${i + 1} = v${i} - w${i}`);
  const model = (w: string): string => `let v0 = 2 mm\nlet w0 = ${w}\n${steps.join('\n')}\nlet a = v60`;
  expect(imprint(model('1 mm'))).toBe(imprint(model('0.1 cm')));
  expect(imprint(model('1 mm'))).not.toBe(imprint(model('1.1 mm')));
});
