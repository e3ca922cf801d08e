import { isTemplate } from '../../../engine/verification-index.js';
import type { Entity } from '../../../model/namespace.js';
import { at, rule, type ConfigurationView } from '../../rule.js';

/** Only in projects that have growth tables, and for what stands in an assembly. */
export default rule({
  code: 'mass-without-growth',
  severity: 'information',
  title: 'A mass that no growth table applies to',
  message:
    'No growth table applies to {part}, which {assembly} holds: its mass counts without growth. Add growth = … to it, or to what it stands in.',
  onProject(report, view): void {
    if (view.namespace.ofKind('growth').length === 0) return;
    const configuration = view.configurations[0]!;
    for (const part of view.namespace.ofKind('part')) {
      const mass = part.values.get('mass');
      const assembly = mass && !isTemplate(part) ? assembliesOf(part, configuration)[0] : undefined;
      if (mass && assembly && !grows(part, configuration))
        report({
          code: 'mass-without-growth',
          place: at(mass, mass.id),
          data: { part: part.path, assembly: assembly.path },
        });
    }
  },
});

/** What holds a part: the part that it stands in, or those whose slots it fills. */
function assembliesOf(part: Entity, { verification }: ConfigurationView): readonly Entity[] {
  return part.parent?.kind === 'part' ? [part.parent] : verification.holdersOf(part);
}

/** Whether a table applies to a part, by itself or by what holds it. */
function grows(part: Entity, configuration: ConfigurationView): boolean {
  const above = new Set([part]);
  for (const at of above) {
    if (configuration.evaluation.itemOf(at, 'growth')) return true;
    for (const assembly of assembliesOf(at, configuration)) above.add(assembly);
  }
  return false;
}
