import { here, splitAt } from '../../fixes.js';
import type { CheckItem } from '../../../model/declaration.js';
import { factorsOf, factsOfRow } from '../../../engine/facts.js';
import { at, rule } from '../../rule.js';
import {
  allowablesOfCheck,
  classOf,
  factorSets,
  materialOf,
  requirementData,
  strengthChecks,
} from '../../requirement-data.js';

/** A factor of the requirement's own, such as `let factor = 4`. */
const OWN_FACTOR = /factor|safety/i;

export default rule({
  code: 'factor-missing',
  severity: 'warning',
  title: 'A check uses no factor',
  message:
    '{label} holds a load against {class} allowables without any factor{mode}, although {sets} is there for {class}{configuration}. Multiply the applied side by its factor.',
  onRequirement(report, result, configuration, view): void {
    const { evaluation } = configuration;
    const material = classOf(materialOf(configuration, result.entity.part));
    if (material === null) return;
    const sets = factorSets(view.namespace).filter(set => set.class === material);
    if (sets.length === 0 || [...result.entity.values.keys()].some(name => OWN_FACTOR.test(name))) return;
    for (const check of strengthChecks(result)) {
      const used = factorsOf(evaluation, check.governing.row).length > 0;
      if (
        used ||
        allowablesOfCheck(configuration, check).length === 0 ||
        factsOfRow(evaluation, check.governing.row, 'both').loads.length === 0
      )
        continue;
      report({
        code: 'factor-missing',
        place: at(check.item, check.item.condition.id),
        data: {
          ...requirementData(result, configuration),
          mode: check.item.mode ? ` in ${check.item.mode}` : '',
          class: material,
          sets: sets.map(set => set.name).join(', '),
        },
      });
    }
  },
  fix: ({ data, place }, text, { view }) => {
    const check = place.owner as CheckItem;
    const comparison = splitAt(text, ['<=', '>=']);
    if (!comparison) return null;
    const { left, sign, right } = comparison;
    const times = (factor: string, side: string): string =>
      `${factor} * ${splitAt(side, [' + ', ' - ']) ? `(${side})` : side}`;
    return data['sets']!.split(', ').flatMap(name => {
      const set = view.namespace.ofKind('factors').find(candidate => candidate.name === name);
      const factor = set && check.mode !== null && set.values.has(check.mode) ? `${name}.${check.mode}` : null;
      return factor === null
        ? []
        : [
            here(
              `Multiply by ${factor}`,
              sign === '<=' ? `${times(factor, left)} <= ${right}` : `${left} >= ${times(factor, right)}`,
            ),
          ];
    });
  },
});
