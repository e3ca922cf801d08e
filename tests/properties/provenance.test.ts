import { describe, expect, test } from 'vitest';
import { openScenario, scenariosBelow } from '../support/fixture.js';
import { inputsOf, violations } from './provenance.js';

const MOST = 40;

describe.each(scenariosBelow('examples'))('what moves with an input is open with it: $name', scenario => {
  test('inputs picked all over it', () => {
    const project = openScenario(scenario);
    const inputs = inputsOf(project);
    const step = Math.max(1, Math.floor(inputs.length / MOST));
    expect(inputs.length).toBeGreaterThan(20);
    expect(inputs.filter((_, i) => i % step === 0).flatMap(input => violations(project, input))).toEqual([]);
  });
});
