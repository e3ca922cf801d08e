import { describe, expect, it } from 'vitest';
import { valueKey } from '../../server/engine/evaluation/cell-key.js';
import { Evaluation } from '../../server/engine/evaluation/evaluation.js';
import type { DataSource } from '../../server/engine/evaluation/reading.js';
import { Namespace, type NamespaceChange } from '../../server/model/namespace.js';
import { DIMENSIONLESS } from '../../server/units/index.js';
import { published } from './published.js';
import { examplesOf, formulas, read, sources } from './sources.js';

/** An example holds to this fraction of its value: five printed digits. */
const TOLERANCE = 5e-5;

const NO_DATA: DataSource = {
  rows: () => {
    throw new Error('the library reads no files');
  },
  onDefect: (_, error) => {
    throw error;
  },
};

function everything(namespace: Namespace): NamespaceChange {
  const all = new Set(namespace.entities.values());
  return {
    dependencies: new Set(),
    fields: new Map(),
    formulas: new Set(),
    removed: [],
    added: [...all],
    touched: all,
    rootTouched: true,
  };
}

const library = new Namespace();
library.update(new Map([...sources].map(([file, text]) => [file, read(file, text).pieces])));

/** Evaluates `let` lines beside the library: their numbers in SI, their dimensions, and what the engine found wrong. */
function evaluate(
  lines: readonly string[],
): (name: string) => { number: number; dimension: unknown; problems: readonly unknown[] } {
  const namespace = new Namespace();
  const { pieces, problems } = read('examples.gus', lines.join('\n'));
  expect(problems).toEqual([]);
  const change = namespace.update(new Map([['examples.gus', pieces]]));
  const evaluation = new Evaluation(namespace, library, NO_DATA);
  evaluation.update({ ...everything(namespace), dependencies: change.dependencies }, new Map());
  return name => {
    const cell = evaluation.cell(namespace.root, valueKey(name));
    const value = cell?.value;
    return {
      number: value?.kind === 'quantity' ? evaluation.number(value.node) : NaN,
      dimension: value?.kind === 'quantity' ? value.dimension : null,
      problems: cell?.problems ?? [],
    };
  };
}

const examples = formulas.flatMap(formula =>
  examplesOf(formula).map((example, i) => ({ ...example, name: `${formula.name}_${i}` })),
);

describe('examples', () => {
  const value = evaluate(
    examples.flatMap(({ name, expression, result }) => [
      `let of_${name} = ${expression}`,
      `let is_${name} = ${result}`,
    ]),
  );

  it.each(examples)('$expression = $result', ({ name }) => {
    const [calculated, stated] = [value(`of_${name}`), value(`is_${name}`)];
    expect(calculated.problems).toEqual([]);
    expect(calculated.dimension).toBe(stated.dimension);
    expect(Math.abs(calculated.number - stated.number)).toBeLessThanOrEqual(TOLERANCE * Math.abs(stated.number));
  });
});

describe('published values beyond the examples', () => {
  const value = evaluate(
    published.map(({ id, expression, unit }, i) =>
      `let ${id}_${i} = (${expression}) / (1 ${unit})`.replace(' / (1 1)', ''),
    ),
  );

  it.each(published.map((entry, i) => ({ ...entry, name: `${entry.id}_${i}` })))(
    '$id: $expression = $expected $unit',
    ({ name, expected, tolerance }) => {
      const { number, dimension, problems } = value(name);
      expect(problems).toEqual([]);
      expect(dimension).toBe(DIMENSIONLESS);
      expect(Math.abs(number - expected)).toBeLessThanOrEqual(tolerance);
    },
  );
});

describe('outside its validity a formula has no value', () => {
  const outside = [
    'bending_stress(1 N*m, 0 mm, 1 mm)',
    'cylinder_hoop_stress(1 MPa, 10 mm, 2 mm)',
    'short_column_stress(400 MPa, 71.7 GPa, 60)',
    'plate_compression_coefficient(7 m, 1 m)',
    'cylinder_knockdown(1500 mm, 1 mm)',
    'separation_load(1 kN, 1)',
    'shear_out_stress(1 kN, 2 mm, 6 mm, 1 mm)',
    'coarse_thread_area("M7")',
  ];
  const value = evaluate(outside.map((expression, i) => `let outside_${i} = ${expression}`));

  it.each(outside.map((expression, i) => [expression, i] as const))('%s', (_, i) => {
    expect(value(`outside_${i}`).number).toBeNaN();
  });
});

describe('reserves', () => {
  const value = evaluate([
    'let unpulled = threaded_bolt_reserve(-0.4, 0.5)',
    'let sheared = threaded_bolt_reserve(0, 0.5)',
    'let back = threaded_bolt_reserve(0.6, -0.5)',
    'let forth = threaded_bolt_reserve(0.6, 0.5)',
    'let pulled = plate_buckling_reserve(-0.4, 0.5)',
    'let unloaded = quadratic_reserve(0, 0)',
    'let cancelling = linear_reserve([0.5, -0.5])',
  ]);

  it('take compression of a bolt and tension of a plate as no load', () => {
    expect(value('unpulled').number).toBeCloseTo(value('sheared').number, 8);
    expect(value('pulled').number).toBeCloseTo(2, 8);
  });

  it('do not depend on the sign of a shear, and let nothing cancel', () => {
    expect(value('back').number).toBeCloseTo(value('forth').number, 8);
    expect(value('cancelling').number).toBeCloseTo(1, 8);
  });

  it('are unbounded without load', () => {
    expect(value('unloaded').number).toBe(Infinity);
  });
});
