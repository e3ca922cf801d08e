import { requirementData } from '../../requirement-data.js';
import { at, rule } from '../../rule.js';

export default rule({
  code: 'undetermined-text',
  severity: 'error',
  title: 'A shall-text prints a value that is undetermined',
  message: '{label} is undetermined{configuration}: {why}. Give the value, or write the limit.',
  onRequirement(report, result, configuration): void {
    const { title } = result.entity;
    const why = configuration.verification.undeterminedText(result.entity);
    if (title && why !== null)
      report({
        code: 'undetermined-text',
        place: at(title, 0),
        data: { ...requirementData(result, configuration), why },
      });
  },
});
