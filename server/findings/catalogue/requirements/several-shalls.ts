import { rule } from '../../rule.js';
import { ownStatements } from '../../statements.js';

export default rule({
  code: 'several-shalls',
  severity: 'information',
  title: 'A requirement that asks for several things',
  message:
    'The statement of {label} says "shall" {count} times. Give each its own label, so that each can be verified.',
  onProject(report, view): void {
    for (const { requirement, place, text } of ownStatements(view)) {
      const count = text.match(/\bshall\b/gi)?.length ?? 0;
      if (count > 1)
        report({ code: 'several-shalls', place, data: { label: requirement.label, count: String(count) } });
    }
  },
});
