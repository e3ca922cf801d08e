import type { Evaluation } from '../../engine/evaluation/evaluation.js';
import type { Entity } from '../../model/namespace.js';
import { coverageOfParts, isExempt, nameParts, printTemperature, type Coverage } from '../coverage.js';
import { at, rule } from '../rule.js';

/** Only for parts whose materials are asked at some temperature, or that are checked in another environment. */
export default rule({
  code: 'environment-not-swept',
  severity: 'information',
  title: 'An environment that no check of a part sweeps',
  message:
    '{environment} ({range}) is swept by no check of {parts}. Add its temperatures to their checks, or say in the part: exempt {environment} because "…".',
  onProject(report, view): void {
    const { evaluation } = view.configurations[0]!;
    const parts = [...coverageOfParts(view)].filter(
      ([, { asked, environments }]) => asked.size > 0 || environments.size > 0,
    );
    for (const environment of view.namespace.ofKind('environment')) {
      const [cold, hot] = [numberOf(evaluation, environment, 'cold'), numberOf(evaluation, environment, 'hot')];
      if (cold === null && hot === null) continue;
      const missing = parts
        .filter(
          ([part, coverage]) =>
            !isCovered(environment, cold ?? hot!, hot ?? cold!, coverage) && !isExempt(part, environment, view),
        )
        .map(([part]) => part);
      if (missing.length === 0) continue;
      const range = [cold, hot]
        .filter(end => end !== null)
        .map(printTemperature)
        .join(' to ');
      report({
        code: 'environment-not-swept',
        place: at(environment.declaration),
        data: { environment: environment.name, range, parts: nameParts(missing) },
      });
    }
  },
});

function isCovered(environment: Entity, cold: number, hot: number, { environments, asked }: Coverage): boolean {
  return (
    environments.has(environment) ||
    [...asked.values()].some(
      temperatures => temperatures.length > 0 && Math.min(...temperatures) <= cold && Math.max(...temperatures) >= hot,
    )
  );
}

function numberOf(evaluation: Evaluation, entity: Entity, name: string): number | null {
  const value = entity.values.has(name) ? evaluation.valueOf(entity, name) : undefined;
  const number = value?.kind === 'quantity' ? evaluation.number(value.node) : NaN;
  return Number.isFinite(number) ? number : null;
}
