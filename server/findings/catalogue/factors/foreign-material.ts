import { here } from '../../fixes.js';
import { nameOf } from '../../../engine/facts.js';
import { at, rule } from '../../rule.js';
import { allowablesOfCheck, classOf, materialOf, requirementData, strengthChecks } from '../../requirement-data.js';

/** A part may hold things of another class, such as its bolts; of the same class, the name is more likely left over. */
export default rule({
  code: 'foreign-material',
  severity: 'warning',
  title: 'The allowable of another material',
  message:
    '{label} takes its allowable from {value}, but {part} is made of {material}{configuration}. Write material. in place of the name, so that the check follows the part.',
  onRequirement(report, result, configuration): void {
    const own = materialOf(configuration, result.entity.part);
    if (!own) return;
    for (const check of strengthChecks(result)) {
      const allowables = allowablesOfCheck(configuration, check);
      const foreign = allowables.find(value => value.entity !== own && classOf(value.entity) === classOf(own));
      if (foreign && !allowables.some(value => value.entity === own))
        report({
          code: 'foreign-material',
          place: at(check.item, check.item.condition.id),
          data: { ...requirementData(result, configuration), value: nameOf(foreign), material: own.name },
        });
    }
  },
  fix: ({ data }, text) => {
    const name = data['value']!.slice(0, data['value']!.lastIndexOf('.'));
    const mended = text.replaceAll(`${name}.`, 'material.');
    return mended === text ? null : here('Follow the material of the part', mended);
  },
});
