import { requirementData } from '../../requirement-data.js';
import { at, rule } from '../../rule.js';

export default rule({
  code: 'undetermined-text',
  severity: 'error',
  title: 'A shall-text prints a value that is undetermined',
  message:
    '{label} is undetermined{configuration}: its text prints a value that has none. Give it one, or write the limit.',
  onRequirement(report, result, configuration): void {
    const { title } = result.entity;
    if (title && configuration.verification.hasUndeterminedText(result.entity))
      report({ code: 'undetermined-text', place: at(title, 0), data: requirementData(result, configuration) });
  },
});
