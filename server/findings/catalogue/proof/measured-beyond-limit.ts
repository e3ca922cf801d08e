import { requirementData } from '../../requirement-data.js';
import { at, rule } from '../../rule.js';

export default rule({
  code: 'measured-beyond-limit',
  severity: 'error',
  title: 'A measured value is beyond its limit',
  message:
    '{reason}, so {label} fails{configuration}, whatever its result says. Correct the article and measure it again, or state a waiver with its terms.',
  onRequirement(report, result, configuration): void {
    if (result.waiver) return;
    for (const { item, passes, reason } of result.measured)
      if (passes === false)
        report({
          code: 'measured-beyond-limit',
          place: at(item, item.value.id),
          data: { ...requirementData(result, configuration), reason },
          related: [{ place: at(result.entity.declaration), message: `${result.entity.label} fails by it.` }],
        });
  },
});
