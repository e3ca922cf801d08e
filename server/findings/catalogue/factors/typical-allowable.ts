import { nameOf } from '../../../engine/facts.js';
import { at, rule } from '../../rule.js';
import { allowablesOfCheck, requirementData, strengthChecks } from '../../requirement-data.js';

/** Stiffnesses are typical by nature. */
const STIFFNESS = new Set(['E', 'G', 'nu', 'alpha', 'density']);

export default rule({
  code: 'typical-allowable',
  severity: 'warning',
  title: 'A typical value is used as an allowable',
  message:
    '{label} holds its load against {value}, a typical value{mode}: half of all specimens lie below it. Use an A or B basis value.',
  onRequirement(report, result, configuration): void {
    for (const check of strengthChecks(result)) {
      for (const value of allowablesOfCheck(configuration, check)) {
        if (value.annotations.basis === 'typical' && !STIFFNESS.has(value.item.name))
          report({
            code: 'typical-allowable',
            place: at(check.item, check.item.condition.id),
            data: {
              ...requirementData(result, configuration),
              mode: check.item.mode ? ` in ${check.item.mode}` : '',
              value: nameOf(value),
            },
            related: [{ place: at(value.item, value.item.id), message: 'Stated as typical here.' }],
          });
      }
    }
  },
});
