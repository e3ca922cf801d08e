import type { Evaluation } from '../../../engine/evaluation/evaluation.js';
import type { Entity } from '../../../model/namespace.js';
import {
  concerns,
  coverageByConfiguration,
  isExempt,
  nameParts,
  printTemperature,
  type Coverage,
} from '../../coverage.js';
import { at, rule } from '../../rule.js';

/** Only for parts whose materials are asked at some temperature, or that are checked in another environment. */
export default rule({
  code: 'environment-not-swept',
  severity: 'information',
  title: 'An environment that no check of a part sweeps',
  message:
    '{environment} ({range}) is swept by no check of {parts}. Add its temperatures to their checks, or say in the part: exempt {environment} because "…".',
  onProject(report, view): void {
    for (const environment of view.namespace.ofKind('environment')) {
      if (!concerns(environment, view, coverage => coverage.environments)) continue;
      // Parts that leave it out in some configuration, by the range that it has there.
      const missing = new Map<string, Set<Entity>>();
      for (const { evaluation, parts } of coverageByConfiguration(view)) {
        const ends = endsOf(evaluation, environment);
        if (ends.length === 0) continue;
        const range = ends.map(printTemperature).join(' to ');
        for (const [part, coverage] of parts) {
          const asks = coverage.asked.size > 0 || coverage.environments.size > 0;
          if (!asks || isCovered(environment, ends, coverage) || isExempt(part, environment, view)) continue;
          missing.set(range, (missing.get(range) ?? new Set()).add(part));
        }
      }
      for (const [range, parts] of missing)
        report({
          code: 'environment-not-swept',
          place: at(environment.declaration),
          data: { environment: environment.name, range, parts: nameParts([...parts]) },
        });
    }
  },
});

/** The temperatures (K) that an environment states, the colder first. */
function endsOf(evaluation: Evaluation, environment: Entity): number[] {
  return ['cold', 'hot'].map(name => numberOf(evaluation, environment, name)).filter(end => end !== null);
}

function isCovered(environment: Entity, ends: readonly number[], { environments, asked }: Coverage): boolean {
  return (
    environments.has(environment) ||
    [...asked.values()].some(
      temperatures =>
        temperatures.length > 0 &&
        Math.min(...temperatures) <= ends[0]! &&
        Math.max(...temperatures) >= ends[ends.length - 1]!,
    )
  );
}

function numberOf(evaluation: Evaluation, entity: Entity, name: string): number | null {
  const value = entity.values.has(name) ? evaluation.valueOf(entity, name) : undefined;
  const number = value?.kind === 'quantity' ? evaluation.number(value.node) : NaN;
  return Number.isFinite(number) ? number : null;
}
