import type { VerificationIndex } from '../../../engine/verification-index.js';
import { wordOf } from '../../../engine/values/words.js';
import type { Entity } from '../../../model/namespace.js';
import { at, rule } from '../../rule.js';
import { factorsOfCheck, requirementData } from '../../requirement-data.js';
import { declared, saidIn } from '../../../model/statements.js';

export default rule({
  code: 'factor-untested',
  severity: 'warning',
  title: 'The factors presume a test that is not planned',
  message:
    '{label} uses {factors}, which presumes a test, but neither it nor a requirement above it is verified by test. Add verify by test, or use a set for hardware that is not tested.',
  onRequirement(report, result, configuration): void {
    if (hasTest(result.entity, configuration.verification.index, new Set())) return;
    for (const check of result.checks) {
      const presuming = factorsOfCheck(configuration, check).find(use => wordOf(use.entity, 'tested') === 'yes');
      if (!presuming) continue;
      report({
        code: 'factor-untested',
        place: at(check.item, check.item.condition.id),
        data: { ...requirementData(result, configuration), factors: presuming.entity.name },
      });
      return;
    }
  },
  fix: ({ data }, _text, { view }) => {
    const declaration = view.namespace.labelled(data['label']!)[0]?.declaration;
    if (!declaration) return null;
    const last = saidIn(declaration, 'methods').at(-1);
    return {
      title: 'Add verify by test',
      edits: [
        last
          ? { place: { after: { owner: declaration, id: last.id } }, text: ', test' }
          : { place: { inside: { owner: declaration, id: 0 } }, text: 'verify by test' },
      ],
    };
  },
});

function hasTest(requirement: Entity, index: VerificationIndex, seen: Set<Entity>): boolean {
  if (seen.has(requirement)) return false;
  seen.add(requirement);
  return (
    declared(requirement, 'requirement').methods.some(method => method.name === 'test') ||
    (index.parents.get(requirement) ?? []).some(parent => hasTest(parent, index, seen))
  );
}
