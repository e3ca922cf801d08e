import { spanOf, type CheckItem } from '../../../model/declaration.js';
import { at, rule } from '../../rule.js';
import { requirementData } from '../../requirement-data.js';

export default rule({
  code: 'unused-binder',
  severity: 'warning',
  title: 'A swept name is not used',
  message:
    '{label} sweeps {name}{mode} and does not use it: every row comes out the same. Use it in the check, or leave it out.',
  onRequirement(report, result, configuration): void {
    for (const check of result.checks) {
      if (!check.cell.plan?.complete || check.rowCount === 0 || check.cell.problems.length > 0) continue;
      for (const binder of check.item.binders) {
        if (!check.cell.usedBinders.has(binder.id))
          report({
            code: 'unused-binder',
            place: at(check.item, binder.id),
            data: {
              ...requirementData(result, configuration),
              configuration: '',
              name: binder.name,
              mode: check.item.mode ? ` in ${check.item.mode}` : '',
            },
          });
      }
    }
  },
  fix: ({ data, place }, _text, { textAt }) => {
    const check = place.owner as CheckItem;
    const whole = { owner: check, id: check.id };
    const { start } = spanOf(check, check.id);
    const at = check.binders.findIndex(({ id }) => id === place.id);
    const from = (id: number): number => spanOf(check, id).start - start;
    const end = (i: number): number =>
      spanOf(check, (check.binders[i]!.step ?? check.binders[i]!.domain).id).end - start;
    const text = textAt(whole);
    const [cutStart, cutEnd] =
      check.binders.length === 1
        ? [check.mode === null ? 0 : spanOf(check, check.modeId).end - start, from(check.condition.id)]
        : at === 0
          ? [from(place.id), from(check.binders[1]!.id)]
          : [end(at - 1), end(at)];
    const filling = check.binders.length > 1 ? '' : check.mode === null ? 'check ' : ': ';
    return {
      title: `Sweep no ${data['name']}`,
      edits: [{ place: whole, text: text.slice(0, cutStart) + filling + text.slice(cutEnd) }],
    };
  },
});
