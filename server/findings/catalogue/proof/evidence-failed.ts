import { requirementData } from '../../requirement-data.js';
import { at, rule } from '../../rule.js';

export default rule({
  code: 'evidence-failed',
  severity: 'error',
  title: 'Evidence of a failure stands',
  message:
    '{evidence} failed, so {label} fails{configuration}. Correct the article and test it again: later evidence that passes takes its place with supersedes {evidence}.',
  onRequirement(report, result, configuration): void {
    for (const evidence of result.failures) {
      const item = evidence.values.get('result');
      report({
        code: 'evidence-failed',
        place: item ? at(item, item.value.id) : at(evidence.declaration),
        data: { ...requirementData(result, configuration), evidence: evidence.label },
        related: [{ place: at(result.entity.declaration), message: `${result.entity.label} fails by it.` }],
      });
    }
  },
});
