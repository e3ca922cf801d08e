import { loadDegreeOf } from '../../../engine/homogeneity.js';
import { factsOfRow } from '../../../engine/facts.js';
import { formatNumber } from '../../../units/index.js';
import { at, rule } from '../../rule.js';
import { checkData, requirementData, sidesOf, strengthChecks } from '../../requirement-data.js';
import { callsName } from '../../text-search.js';

const TOLERANCE = 1e-6;

export default rule({
  code: 'not-a-load-margin',
  severity: 'warning',
  title: 'The margin is no factor on the loads',
  message:
    '{label} does not scale with its loads{mode}: when all of them grow by 1 %, the ratio of the sides grows by {degree} %, so the margin {margin} is no margin on the load{configuration}. Write check reserve(k: …) >= 1 with k on the loads alone.',
  onRequirement(report, result, configuration): void {
    const { evaluation } = configuration;
    for (const check of strengthChecks(result)) {
      const sides = sidesOf(check.governing)!;
      if (
        !Number.isFinite(check.governing.margin) ||
        factsOfRow(evaluation, check.governing.row, 'applied').loads.length === 0
      )
        continue;
      const degree = loadDegreeOf(evaluation, check.governing.row, sides.applied, sides.allowable);
      if (degree === null || Math.abs(degree - 1) <= TOLERANCE || callsName(check.item.condition, 'reserve')) continue;
      report({
        code: 'not-a-load-margin',
        place: at(check.item, check.item.condition.id),
        data: {
          ...checkData(requirementData(result, configuration), check, configuration),
          degree: formatNumber(degree, 3),
        },
      });
    }
  },
});
