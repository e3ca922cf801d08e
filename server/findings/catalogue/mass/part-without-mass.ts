import { partMembers } from '../../../engine/elaboration/mass.js';
import { isTemplate } from '../../../engine/verification-index.js';
import type { Entity } from '../../../model/namespace.js';
import { at, rule, type ConfigurationView } from '../../rule.js';

/** Only where masses are added up: some part states one. */
export default rule({
  code: 'part-without-mass',
  severity: 'warning',
  title: 'Something that is made has no mass',
  message:
    '{part} is made of a material, and neither it nor what is inside it has a mass: it counts as nothing. Add mass = … with its maturity.',
  onProject(report, view): void {
    const parts = view.namespace.ofKind('part').filter(part => !isTemplate(part));
    if (!parts.some(part => part.values.has('mass'))) return;
    for (const part of parts)
      if (part.values.has('material') && isPlaced(part) && !hasMass(part, view.configurations[0]!))
        report({ code: 'part-without-mass', place: at(part.declaration), data: { part: part.path } });
  },
});

/** Whether it stands in an assembly, or is one. */
function isPlaced(part: Entity): boolean {
  return part.parent?.kind === 'part' || part.children('part').length > 0;
}

function hasMass(part: Entity, { evaluation }: ConfigurationView): boolean {
  const inside = new Set([part]);
  for (const at of inside) {
    if (at.values.has('mass')) return true;
    for (const member of evaluation.outside(() => partMembers(evaluation.host, at))) inside.add(member);
  }
  return false;
}
