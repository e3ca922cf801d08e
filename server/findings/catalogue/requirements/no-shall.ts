import { rule } from '../../rule.js';
import { ownStatements } from '../../statements.js';

export default rule({
  code: 'no-shall',
  severity: 'information',
  title: 'A requirement without shall',
  message: 'The statement of {label} has no "shall": what is asked and what is merely said can\'t be told apart.',
  onProject(report, view): void {
    for (const { requirement, place, text } of ownStatements(view))
      if (!/\bshall\b/i.test(text)) report({ code: 'no-shall', place, data: { label: requirement.label } });
  },
});
