import { freeLabel, isTaken } from '../../fixes.js';
import { at, rule, type Report } from '../../rule.js';
import { allowablesOfCheck, checkData, requirementData, strayCheck, type CheckData } from '../../requirement-data.js';
import type { CheckResult } from '../../../engine/margin.js';
import type { ConfigurationView } from '../../rule.js';

export default rule({
  code: 'failing-margin',
  severity: 'error',
  title: 'A check fails',
  message:
    '{label} fails{mode}{case}: {applied} against {allowable}, margin {margin}{configuration}. {mend}, or state a waiver with its terms.',
  onRequirement(report, result, configuration): void {
    if (!result.waiver)
      for (const check of result.checks) failing(report, check, requirementData(result, configuration), configuration);
  },
  onCell(report, cell, configuration): void {
    const stray = strayCheck(cell, configuration);
    if (stray) failing(report, stray.check, stray.data, configuration);
  },
  fix: ({ data, place }, _text, { view }) => {
    const requirement = view.namespace.labelled(data['label']!)[0];
    if (requirement?.kind !== 'requirement') return null;
    const known = view.namespace.ofKind('waiver').at(-1)?.name ?? 'WVR-00';
    const label = freeLabel(known, isTaken(view.namespace));
    return {
      title: `Begin a waiver of ${data['label']}`,
      begins: true,
      edits: [
        {
          place: { endOf: place },
          text: `\nwaiver ${label} for ${data['label']} {\n  accepts margin >= ${data['margin']}\n  reason = ""\n  approved = ""\n  expires = ${view.asOf}\n}\n`,
        },
      ],
    };
  },
});

function failing(report: Report, check: CheckResult, data: CheckData, configuration: ConfigurationView): void {
  if (check.passes === false && check.governing)
    report({
      code: 'failing-margin',
      place: at(check.item, check.item.condition.id),
      data: { ...checkData(data, check, configuration), mend: mendOf(check, configuration) },
    });
}

/** Only what breaks is strengthened: a mass or a frequency is not. */
function mendOf(check: CheckResult, configuration: ConfigurationView): string {
  return allowablesOfCheck(configuration, check).length > 0
    ? 'Strengthen it, lower the load'
    : 'Change one side or the other';
}
