import { at, rule, type Found } from '../rule.js';
import { classOf, factorsOfCheck, materialOf, requirementData } from '../requirement-data.js';

export default rule({
  code: 'factor-class', severity: 'warning', title: 'A factor of another class of material',
  message: '{label} uses {factors}, a set for {wanted}, but {part} is made of {material}, which is {class}{configuration}.',
  *onRequirement(result, configuration): Iterable<Found> {
    const material = materialOf(configuration, result.entity.part);
    const found = classOf(material);
    if (!material || found === null) return;
    for (const check of result.checks) {
      const wrong = factorsOfCheck(configuration, check).find(use => { const wanted = classOf(use.entity); return wanted !== null && wanted !== found; });
      if (wrong) yield { code: 'factor-class', place: at(check.item, check.item.condition.id), data: { ...requirementData(result, configuration), factors: wrong.entity.name, wanted: classOf(wrong.entity)!, material: material.name, class: found } };
    }
  },
});
