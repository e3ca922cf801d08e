import { formatQuantity, MASS } from '../../../units/index.js';
import { at, rule } from '../../rule.js';

export default rule({
  code: 'mass-over-limit',
  severity: 'error',
  title: 'The mass is over its cap',
  message: 'The predicted mass of {part} is {mass}, over the cap of {limit}{configuration}.',
  onProject(report, view): void {
    const project = view.namespace.ofKind('project')[0];
    const limitItem = project?.values.get('mass_limit');
    if (!project || !limitItem) return;
    for (const { name, evaluation } of view.configurations) {
      const limit = evaluation.valueOf(project, 'mass_limit');
      const part = evaluation.valueOf(project, 'mass_of');
      const mass = part?.kind === 'entity' ? evaluation.attribute(part.entity, 'predicted_mass') : undefined;
      if (
        limit?.kind !== 'quantity' ||
        mass?.kind !== 'quantity' ||
        part?.kind !== 'entity' ||
        limit.dimension !== MASS
      )
        continue;
      const [most, found] = [evaluation.number(limit.node), evaluation.number(mass.node)];
      const print = (value: number): string => formatQuantity(value, MASS, limit.unit ? { unit: limit.unit } : {});
      if (found > most * (1 + 1e-9))
        report({
          code: 'mass-over-limit',
          place: at(limitItem, limitItem.value.id),
          data: { part: part.entity.path, mass: print(found), limit: print(most), configuration: name ?? '' },
        });
    }
  },
});
