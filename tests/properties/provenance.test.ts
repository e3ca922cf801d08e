import { describe, expect, test } from 'vitest';
import { openScenario, scenariosBelow, type Scenario } from '../support/fixture.js';
import { inputsOf, violations } from './provenance.js';

const scenarios: readonly Scenario[] = [
  ...scenariosBelow('examples').filter(({ name }) => name !== 'cordgrass'),
  ...scenariosBelow('tests/fixtures/findings-m').filter(({ name }) => /^M(07|13|16|20|25)/.test(name)),
];

describe.each(scenarios)('what moves with an input is open with it: $name', scenario => {
  test('every input', () => {
    const project = openScenario(scenario);
    const inputs = inputsOf(project);
    expect(inputs.length).toBeGreaterThan(3);
    expect(inputs.flatMap(input => violations(project, input))).toEqual([]);
  });
});
