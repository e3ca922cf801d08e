import { brokenConditions } from '../../../engine/evidence.js';
import { at, rule } from '../../rule.js';
import { requirementData } from '../../requirement-data.js';

export default rule({
  code: 'lapsed',
  severity: 'warning',
  title: 'Evidence has lapsed',
  message:
    '{label} has lapsed{configuration}: {open}. Repeat the verification, or show that it still holds and record it anew.',
  onRequirement(report, result, configuration): void {
    if (result.own !== 'lapsed') return;
    const { verification } = configuration;
    const related = result.evidence.flatMap(evidence =>
      brokenConditions(verification, evidence).map(i => ({
        place: at(evidence.declaration.conditions[i]!, evidence.declaration.conditions[i]!.condition.id),
        message: `${evidence.label} holds only while this does.`,
      })),
    );
    report({
      code: 'lapsed',
      place: at(result.entity.declaration),
      data: {
        ...requirementData(result, configuration),
        open: result.methods
          .filter(method => method.lapsed)
          .flatMap(method => method.open)
          .join('; '),
      },
      related,
    });
  },
});
