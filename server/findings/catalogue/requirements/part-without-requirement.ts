import type { Entity } from '../../../model/namespace.js';
import { isTemplate } from '../../../engine/verification-index.js';
import { at, rule } from '../../rule.js';
import { declared } from '../../../model/statements.js';

/** Parts with a drawing of ours; before CDR a part may still be without. */
export default rule({
  code: 'part-without-requirement',
  severity: 'information',
  title: 'A part without a requirement',
  message: '{part} has a drawing and no requirement is about it. After CDR each part that is made has at least one.',
  onProject(report, view): void {
    if (!view.reached('CDR')) return;
    const about = new Set(
      view.namespace
        .ofKind('requirement')
        .flatMap(requirement =>
          declared(requirement, 'requirement').targets.map(target =>
            view.namespace.resolvePath(target.path, requirement),
          ),
        ),
    );
    for (const part of view.namespace.ofKind('part')) {
      if (
        !part.template &&
        !isTemplate(part) &&
        part.values.has('drawing') &&
        !about.has(part) &&
        !hasRequirement(part)
      )
        report({ code: 'part-without-requirement', place: at(part.declaration), data: { part: part.path } });
    }
  },
});

function hasRequirement(part: Entity): boolean {
  return part
    .children()
    .some(child => child.kind === 'requirement' || (child.kind === 'part' && hasRequirement(child)));
}
