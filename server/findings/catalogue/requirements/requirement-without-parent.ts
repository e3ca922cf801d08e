import { at, rule } from '../../rule.js';
import { isOwnRequirement } from '../../statements.js';
import { declared } from '../../../model/statements.js';

/** Only where the project relates its requirements at all; those at the top have children, a source or a customer. */
export default rule({
  code: 'requirement-without-parent',
  severity: 'information',
  title: 'A requirement comes from nowhere',
  message:
    '{label} names neither a parent nor a source, and nothing is derived from it. Add parent …, or source … where it is a top requirement.',
  onProject(report, view): void {
    const { index } = view.configurations[0]!.verification;
    const all = view.namespace.ofKind('requirement').filter(isOwnRequirement);
    if (!all.some(requirement => declared(requirement, 'requirement').parents.length > 0)) return;
    for (const requirement of all) {
      const declaration = declared(requirement, 'requirement');
      if (
        declaration.parents.length === 0 &&
        !declaration.source &&
        !requirement.values.has('source') &&
        !index.children.has(requirement)
      )
        report({ code: 'requirement-without-parent', place: at(declaration), data: { label: requirement.label } });
    }
  },
  fix: ({ place }) => ({
    title: 'State its source',
    edits: [{ place: { inside: { owner: place.owner, id: 0 } }, text: 'source "…"' }],
  }),
});
