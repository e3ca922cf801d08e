import { printSides } from '../../../engine/explain.js';
import { caseName } from '../../../engine/margin.js';
import { at, rule } from '../../rule.js';
import { checkData, requirementData, strengthChecks } from '../../requirement-data.js';

/**
 * A load of both signs has a harmless side in most checks; it is said only where the negative side would govern by its
 * magnitude.
 */
export default rule({
  code: 'negative-applied',
  severity: 'warning',
  title: 'A negative value is held against a strength',
  message:
    '{label} compares a negative value{mode}{case}, {applied} against {allowable}, and so has no margin there{configuration}. By magnitude it would govern: write abs(…) where the sign does not matter, or a check of its own where it does.',
  onRequirement(report, result, configuration): void {
    for (const check of strengthChecks(result)) {
      if (!check.negative) continue;
      const worst = check.rows
        .filter(row => row.negative)
        .reduce<typeof check.governing | null>(
          (found, row) => (found === null || magnitudeMargin(row) < magnitudeMargin(found) ? row : found),
          null,
        );
      if (!worst || !(magnitudeMargin(worst) < check.governing.margin)) continue;
      const sides = printSides(worst);
      const name = caseName(configuration.evaluation, worst.row);
      report({
        code: 'negative-applied',
        place: at(check.item, check.item.condition.id),
        data: {
          ...checkData(requirementData(result, configuration), check, configuration),
          case: name ? ` in ${name}` : '',
          applied: sides.applied,
          allowable: sides.allowable,
        },
      });
    }
  },
});

function magnitudeMargin(row: {
  readonly left: number;
  readonly right: number;
  readonly leaf: { readonly operator: string } | null;
}): number {
  const [applied, allowable] = row.leaf?.operator.startsWith('<') ? [row.left, row.right] : [row.right, row.left];
  return Math.abs(allowable / applied) - 1;
}
