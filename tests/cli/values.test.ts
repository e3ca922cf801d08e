/** Values asked for by name, as a process. */
import { expect, test } from 'vitest';
import { gusset } from '../support/command-line.js';

test.each([
  ['Bracket.tt', 'There is no value Bracket.tt. Is Bracket.t meant?\n'],
  ['widht', 'There is no value widht. Is Camera.Bracket.width meant?\n'],
  ['Bracket.predicted_mas', 'There is no value Bracket.predicted_mas. Is Bracket.predicted_mass meant?\n'],
  ['Nowhere.at_all', 'There is no value Nowhere.at_all.\n'],
])('%s is no value: the check ends with 2 and the nearest', (name, complaint) => {
  const run = gusset(['check', 'examples/bracket', '--values', 'Bracket.t', name]);
  expect(run).toMatchObject({ code: 2, printed: '', complaint });
});

test('a value of one configuration alone is told there', () => {
  const { code, printed } = gusset([
    'check',
    'examples/cordgrass',
    '--values',
    'Bus.Primary.predicted_mass',
    '--format',
    'json',
  ]);
  expect(code).toBe(1);
  expect(JSON.parse(printed).values.map((each: { configuration: string }) => each.configuration)).toEqual([
    'Radar',
    'Optics',
  ]);
});
