import { describe, expect, test } from 'vitest';
import type { CheckReport } from '../../server/reports/check-report.js';
import { buildReport } from '../../server/reports/build-report.js';
import { openTexts } from '../support/fixture.js';

function report(text: string): CheckReport {
  return buildReport(openTexts({ 'a.gus': text }), {
    version: '0',
    values: [],
    rows: false,
  });
}

describe('totals and headlines', () => {
  test('the mass is that of the part that the project names, in its heaviest configuration', () => {
    const { totals } = report(`project P "P" { date = 2027-06-01   mass_of = Bus   mass_limit = 20 kg }
part Spare "Spare" { mass = 3 kg }
part Bus "Bus" { mass = 5 kg   slot payload = Radar }
part Radar "Radar" { mass = 1 kg }
part Optics "Optics" { mass = 4 kg }
configuration A { Bus.payload = Radar }
configuration B { Bus.payload = Optics }
`);
    expect(totals.massPredicted).toBeCloseTo(9, 9);
    expect(totals.massLimit).toBeCloseTo(20, 9);
  });

  test('without a name, the mass is that of the one part that is part of no other and weighs something', () => {
    const { totals } = report('part Bus "Bus" { mass = 5 kg ± 0.2 kg   count = 2 }\npart Drawing "Drawing" { }\n');
    expect(totals).toMatchObject({ massOf: 'Bus', massPredicted: 10, massUnclear: [] });
    expect(totals.massWorst).toBeCloseTo(10.4, 9);
  });

  test('of several such parts none is taken for the whole: they are named', () => {
    const { totals } = report('part Bus "Bus" { mass = 5 kg }\npart Spare "Spare" { mass = 3 kg }\n');
    expect(totals).toMatchObject({ massOf: null, massPredicted: null, massWorst: null, massUnclear: ['Bus', 'Spare'] });
  });

  test('the heaviest configuration is told, at the worst of its tolerances, and every one has its parts', () => {
    const { totals, mass } = report(`project P "P" { date = 2027-06-01   mass_of = Bus }
part Bus "Bus" { mass = 5 kg }
configuration Light { Bus.mass = 4 kg ± 2 kg }
configuration Heavy { Bus.mass = 5 kg ± 0.1 kg }
`);
    expect(totals).toMatchObject({ massConfiguration: 'Light', massPredicted: 4, massWorst: 6 });
    expect(mass.map(each => [each.configuration, each.predicted, each.predictedWorst])).toEqual([
      ['Light', 4, 6],
      ['Heavy', 5, 5.1],
    ]);
  });

  test('the headline is the lowest margin of the worst status', () => {
    const { requirements } = report(`project P "P" { date = 2027-06-01 }
part Bus "Bus" { t = 3 mm }
configuration F1 { Bus.t = 6 mm }
configuration F2 { Bus.t = 2.1 mm }
requirement R-1 "The wall shall be thick." { check Bus.t >= 2 mm   verify by analysis }
`);
    expect(requirements[0]!.margin).toBeCloseTo(0.05, 9);
    expect(requirements[0]!.status).toBe('verified');
  });

  test('slots that lead back to their part end the list', () => {
    const { mass } = report(`part C "C" { slot s = A }
part A "A" { mass = 1 kg   slot s = B }
part B "B" { mass = 1 kg   slot s = A }
`);
    expect(mass.map(({ part, depth, predicted }) => [part, depth, predicted])).toEqual([
      ['C', 0, null],
      ['A', 1, null],
      ['B', 2, null],
    ]);
  });

  test('parts stand by loads of every sort, with their holes', () => {
    const { loads } = report(`project P "P" { date = 2027-06-01 }
load Lift "Lift" { axial = 5 g0   level = limit }
load Shake "Shake" { psd = [20 Hz -> 0.1 g0^2/Hz, 2000 Hz -> 0.1 g0^2/Hz]   level = limit }
load Shock "Shock" { peak = 900 g0 }
load Tested "As tested" { axial = 6 g0   level = qualification }
part Bar "Bar" {
  exempt Shake because "It is stiff."
  requirement R-1 "The bar shall hold." { check for L in [Lift]: 1 kg * L.axial <= 100 N   verify by analysis }
}
`);
    expect(loads).toEqual([{ part: 'Bar', loads: { Lift: 'swept', Shake: 'exempt', Shock: 'open' } }]);
  });

  test('what one configuration leaves out is a hole, though another sweeps it', () => {
    const { loads } = report(`project P "P" { date = 2027-01-01 }
load Liftoff "Lift-off" { axial = 6 g0 }
load Ascent "Ascent" { axial = 9 g0 }
part Lug "Lug" {
  let cases = [Liftoff, Ascent]
  requirement LUG-1 "It shall hold." {
    check ultimate for L in cases: 1.25 * 10 kg * L.axial <= 2000 N
    verify by analysis
  }
}
configuration Whole { }
configuration Calm { Lug.cases = [Liftoff] }
`);
    expect(loads).toEqual([{ part: 'Lug', loads: { Liftoff: 'swept', Ascent: 'open' } }]);
  });
});
