import { loadDegree } from '../../../engine/homogeneity.js';
import { solvesFor } from '../../../engine/facts.js';
import { at, rule } from '../../rule.js';
import { factorsOfCheck, requirementData, sidesOf } from '../../requirement-data.js';

const TOLERANCE = 1e-6;

/**
 * In an interaction equation a ratio meets itself, and its factor with it: only checks that are proportional to their
 * loads tell.
 */
export default rule({
  code: 'factor-doubled',
  severity: 'warning',
  title: 'A factor is multiplied in twice',
  message:
    '{factor} is multiplied in {times} times on the way to {label}{mode}. Leave it out of the check, or out of what the check reads.',
  onRequirement(report, result, configuration): void {
    for (const check of result.checks) {
      const doubled = factorsOfCheck(configuration, check).filter(use => use.times > 1);
      const sides = check.governing ? sidesOf(check.governing) : null;
      if (doubled.length === 0 || !sides || solvesFor(configuration.evaluation, [sides.applied, sides.allowable]))
        continue;
      const degree = loadDegree(configuration.evaluation, sides.applied, sides.allowable);
      if (degree !== null && Math.abs(degree - 1) > TOLERANCE) continue;
      for (const use of doubled)
        report({
          code: 'factor-doubled',
          place: at(check.item, check.item.condition.id),
          data: {
            ...requirementData(result, configuration),
            mode: check.item.mode ? ` in ${check.item.mode}` : '',
            factor: `${use.entity.name}.${use.item.name}`,
            times: String(use.times),
          },
        });
    }
  },
});
