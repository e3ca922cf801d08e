import { isTemplate } from '../../engine/verification-index.js';
import type { Entity } from '../../model/namespace.js';
import { at, rule, type ProjectView } from '../rule.js';

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
      if (part.values.has('material') && isPlaced(part) && !hasMass(part, view))
        report({ code: 'part-without-mass', place: at(part.declaration), data: { part: part.path } });
  },
});

/** Whether it stands in an assembly, or is one. */
function isPlaced(part: Entity): boolean {
  return part.parent?.kind === 'part' || part.children('part').length > 0;
}

function hasMass(part: Entity, view: ProjectView): boolean {
  if (part.values.has('mass') || part.children('part').some(child => hasMass(child, view))) return true;
  const { evaluation } = view.configurations[0]!;
  return [...part.values].some(([name, item]) => {
    const filler = item.kind === 'slot' ? evaluation.valueOf(part, name) : undefined;
    return filler?.kind === 'entity' && hasMass(filler.entity, view);
  });
}
