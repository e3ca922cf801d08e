import { requirementData } from '../../requirement-data.js';
import { at, rule } from '../../rule.js';

export default rule({
  code: 'open-nonconformance',
  severity: 'error',
  title: 'A nonconformance is open',
  message:
    '{reason}, so {label} is {status}{configuration}. Use the article as it is with a waiver or a margin at the as-built value, rework it and show that by later evidence, or scrap it.',
  onRequirement(report, result, configuration): void {
    for (const { entity, named, reason } of result.nonconformances)
      report({
        code: 'open-nonconformance',
        place: at(entity.declaration),
        data: { ...requirementData(result, configuration), reason, status: named ? 'failing' : 'undetermined' },
        related: [{ place: at(result.entity.declaration), message: `${result.entity.label} waits for it.` }],
      });
  },
});
