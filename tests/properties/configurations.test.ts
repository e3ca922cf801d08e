/** A configuration shares with the base model what its overrides don't reach; it must not show. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { Project } from '../../server/project/project.js';
import { openTexts } from '../support/fixture.js';
import { checkKey, TITLE, valueKey } from '../../server/engine/evaluation/cell-key.js';

/** Fields of the model by the path that overrides them, each with its place in the text. */
type Field = 'Tray.t' | 'Tray.material' | 'Bus.head' | 'Bus.factor' | 'Lift.axial' | 'Print.density' | 'Tray.extra';
type Values = Readonly<Record<Field, string>>;

const length = fc.integer({ min: 1, max: 60 }).map(n => `${n / 10} mm`);
const values: Record<Field, fc.Arbitrary<string>> = {
  'Tray.t': length,
  'Tray.material': fc.constantFrom('Print', 'Sheet'),
  'Bus.head': fc.constantFrom('Radar', 'Optics', 'Tray'),
  'Bus.factor': fc.integer({ min: 10, max: 30 }).map(n => String(n / 10)),
  'Lift.axial': fc
    .tuple(fc.integer({ min: 1, max: 9 }), fc.integer({ min: 1, max: 9 }))
    .map(([low, high]) => `-${low} g0 .. ${high} g0`),
  'Print.density': fc.integer({ min: 10, max: 20 }).map(n => `${n / 10} g/cm^3`),
  'Tray.extra': length,
};
const all = fc.record(values);
const some = fc.record(values, { requiredKeys: [] });

function text(model: Values, configurations: Readonly<Record<string, Partial<Values>>>, withExtra: boolean): string {
  const overrides = Object.entries(configurations).map(
    ([name, given]) =>
      `configuration ${name} {\n${Object.entries(given)
        .map(([path, value]) => `  ${path} = ${value}\n`)
        .join('')}}\n`,
  );
  return `load Lift { axial = ${model['Lift.axial']}   temperature = 10 degC .. 40 degC   level = limit }
material Print { density = ${model['Print.density']}   ultimate = [10 degC -> 60 MPa, 25 degC -> 50 MPa, 40 degC -> 30 MPa] }
material Sheet { density = 2.8 g/cm^3   ultimate = [10 degC -> 300 MPa, 40 degC -> 280 MPa] }
let extra = 4 mm
part Bus {
  slot head = ${model['Bus.head']}
  factor = ${model['Bus.factor']}
  part Tray {
    material = ${model['Tray.material']}
    t = ${model['Tray.t']}${withExtra ? `\n    extra = ${model['Tray.extra']}` : ''}
    mass = material.density * 100 mm * 80 mm * t
    let stress(L) = Bus.predicted_mass * abs(L.axial) / (t * extra)
    requirement T-1 "The tray shall hold {limit}." {
      let limit = 1 kg
      check ultimate for L in corners(Lift), T in knots(L.temperature): Bus.factor * stress(L) <= material.ultimate(T)
      check mass <= limit
    }
    requirement T-2 "The tray shall be stiff." { check t >= 2 mm ± 0.1 mm }
    requirement T-3 "The tray shall be near." { check extra <= 3 mm }
  }
}
part Radar { mass = 3 kg   f1 = 70 Hz }
part Optics { mass = 5 kg   f1 = 90 Hz }
requirement S-1 "The vehicle shall weigh little." { check Bus.basic_mass <= 6 kg }
requirement S-2 "The head shall be stiff." { check Bus.head.f1 >= 80 Hz }
${overrides.join('')}`;
}

/** What each requirement comes to in one configuration. */
function outcome(project: Project, name: string | null): object {
  const { verification, evaluation } = project.configurations.find(view => view.name === name)!;
  return verification.index.requirements.map(entity => {
    const result = verification.result(entity);
    return {
      label: entity.label,
      status: result.status,
      reasons: result.reasons,
      title: evaluation.resultOf(entity, TITLE),
      checks: result.checks.map(check => ({
        passes: check.passes,
        margin: check.governing?.margin,
        rows: check.rows.map(row => [row.margin, row.passes]),
      })),
    };
  });
}

test('each is as if its values had been written into the model, however the texts were edited', () => {
  fc.assert(
    fc.property(fc.array(fc.tuple(all, some, some), { minLength: 1, maxLength: 5 }), steps => {
      const project = openTexts({ 'a.gus': '' });
      for (const [model, one, two] of steps) {
        project.setText('a.gus', text(model, { One: one, Two: two }, false));
        project.update();
        for (const [name, given] of [
          ['One', one],
          ['Two', two],
        ] as const) {
          const written = openTexts({ 'a.gus': text({ ...model, ...given }, {}, given['Tray.extra'] !== undefined) });
          expect(outcome(project, name)).toEqual(outcome(written, null));
        }
      }
    }),
    { seed: 20_270_105, numRuns: 60 },
  );
});

test('what no override reaches is evaluated once', () => {
  const values: Values = {
    'Tray.t': '3 mm',
    'Tray.material': 'Print',
    'Bus.head': 'Radar',
    'Bus.factor': '1.5',
    'Lift.axial': '-2 g0 .. 6 g0',
    'Print.density': '1.3 g/cm^3',
    'Tray.extra': '4 mm',
  };
  const project = openTexts({
    'a.gus': text(values, { One: { 'Bus.factor': '2' }, Two: { 'Bus.head': 'Optics' } }, false),
  });
  const [one, two] = project.configurations.map(({ evaluation }) => evaluation);
  const tray = [...project.namespace.named('Tray')][0]!;
  expect(one!.cell(tray, valueKey('mass'))).toBe(two!.cell(tray, valueKey('mass')));
  const check = (evaluation: typeof one, label: string): unknown =>
    evaluation!.cell(project.namespace.labelled(label)[0]!, checkKey(0));
  expect(check(one, 'S-1')).not.toBe(check(two, 'S-1'));
  expect(check(one, 'T-1')).not.toBe(check(two, 'T-1'));
  expect(check(one, 'T-2')).toBe(check(two, 'T-2'));
});
