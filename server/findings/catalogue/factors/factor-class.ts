import { here } from '../../fixes.js';
import { at, rule } from '../../rule.js';
import { allowablesOfCheck, classOf, factorsOfCheck, materialOf, requirementData } from '../../requirement-data.js';

/**
 * Held against the materials whose allowables the check reads; where it reads none, against that of the part, which its
 * fasteners need not be of.
 */
export default rule({
  code: 'factor-class',
  severity: 'warning',
  title: 'A factor of another class of material',
  message: '{label} uses {factors}, a set for {wanted}, but {material} is {class}{configuration}.',
  onRequirement(report, result, configuration): void {
    const own = materialOf(configuration, result.entity.part);
    for (const check of result.checks) {
      const materials = allowablesOfCheck(configuration, check).map(value => value.entity);
      const classes = new Set(
        (materials.length > 0 ? materials : own ? [own] : []).map(classOf).filter(name => name !== null),
      );
      const wrong = factorsOfCheck(configuration, check).find(use => {
        const wanted = classOf(use.entity);
        return (
          wanted !== null && classes.size > 0 && !classes.has(wanted) && (materials.length > 0 || wanted !== 'fastener')
        );
      });
      if (!wrong) continue;
      const material = materials[0] ?? own!;
      report({
        code: 'factor-class',
        place: at(check.item, check.item.condition.id),
        data: {
          ...requirementData(result, configuration),
          factors: wrong.entity.name,
          wanted: classOf(wrong.entity)!,
          material: material.name,
          class: classOf(material)!,
        },
      });
    }
  },
  fix: ({ data }, text, { view }) => {
    const wrong = data['factors']!;
    const used = [...text.matchAll(new RegExp(`\\b${wrong}\\.(\\w+)`, 'g'))].map(match => match[1]!);
    if (used.length === 0) return null;
    const sets = view.namespace
      .ofKind('factors')
      .filter(set => classOf(set) === data['class'] && used.every(name => set.values.has(name)));
    return sets.map(set => here(`Use ${set.name}`, text.replaceAll(`${wrong}.`, `${set.name}.`)));
  },
});
