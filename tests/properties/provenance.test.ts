import { describe, expect, test } from 'vitest';
import { openScenario, scenariosBelow, type Scenario } from '../support/fixture.js';
import { inputsOf, violations } from './provenance.js';

const scenarios: readonly Scenario[] = [
  ...scenariosBelow('examples'),
  ...scenariosBelow('tests/fixtures/findings-m').filter(({ name }) => /^M(07|13|16|20|25)/.test(name)),
];

/** Of the inputs of a large project, a few are tried. */
const MANY = 200;
const FEW = 8;

describe.each(scenarios)('what moves with an input is open with it: $name', scenario => {
  test('inputs from all over it', () => {
    const project = openScenario(scenario);
    const inputs = inputsOf(project);
    const every = inputs.length > MANY ? Math.floor(inputs.length / FEW) : 1;
    expect(inputs.length).toBeGreaterThan(3);
    expect(inputs.filter((_, i) => i % every === 0).flatMap(input => violations(project, input))).toEqual([]);
  });
});
