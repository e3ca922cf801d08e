import { at, rule } from '../../rule.js';
import { declared } from '../../../model/statements.js';

export default rule({
  code: 'requirement-without-method',
  severity: 'information',
  title: 'A requirement says not how it is verified',
  message:
    '{label} says not how it is verified, and no requirement below it does. Add verify by analysis, test, inspection, …',
  onRequirement(report, result): void {
    if (
      result.methods.length === 0 &&
      result.children.length === 0 &&
      !declared(result.entity, 'requirement').hasVerify
    )
      report({
        code: 'requirement-without-method',
        place: at(result.entity.declaration),
        data: { label: result.entity.label },
      });
  },
  fix: found => ({
    title: 'Add verify by analysis',
    edits: [{ place: { inside: { owner: found.place.owner, id: 0 } }, text: 'verify by analysis' }],
  }),
});
