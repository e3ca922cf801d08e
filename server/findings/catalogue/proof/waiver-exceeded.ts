import { inForce } from '../../../engine/waivers.js';
import { at, rule } from '../../rule.js';
import { checkData, requirementData } from '../../requirement-data.js';
import { isQuantity } from '../calculations/condition-expected.js';
import { wordOf } from '../../../engine/values/words.js';

export default rule({
  code: 'waiver-exceeded',
  severity: 'error',
  title: 'A waiver no longer covers its failure',
  message:
    '{waiver} does not cover {label} any more: the margin{mode}{case} is {margin}{configuration}, outside its terms.',
  onRequirement(report, result, configuration): void {
    const { verification } = configuration;
    if (result.waiver) return;
    for (const waiver of verification.index.waivers.get(result.entity) ?? []) {
      const terms = waiver.declaration.conditions.find(condition => condition.kind === 'accepts');
      if (!terms || isQuantity(terms.condition) || !inForce(verification, waiver) || wordOf(waiver, 'method') !== null)
        continue;
      const beyond = result.checks.find(check => verification.exceeded(waiver, check));
      if (beyond)
        report({
          code: 'waiver-exceeded',
          place: at(terms, terms.condition.id),
          data: { ...checkData(requirementData(result, configuration), beyond, configuration), waiver: waiver.label },
        });
    }
  },
});
