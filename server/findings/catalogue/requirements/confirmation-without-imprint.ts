import { confirmationsOf } from '../../../engine/confirmations.js';
import { at, rule } from '../../rule.js';

export default rule({
  code: 'confirmation-without-imprint',
  severity: 'warning',
  title: 'A confirmation has no imprint',
  message: ({ label, name, imprint }) =>
    imprint
      ? `${label} says nothing of what ${name} was when it was confirmed, so it stays to be confirmed. Add imprint "${imprint}", which is that of the value as it is now.`
      : `${label} can not hold: ${name} reads a data file, whose rows no imprint sees yet.`,
  onProject(report, { configurations }): void {
    for (const { entity, item, name, taken, imprint } of confirmationsOf(configurations[0]!.evaluation))
      if (item && (taken === null || imprint === null))
        report({
          code: 'confirmation-without-imprint',
          place: at(entity.declaration),
          data: { label: entity.label, name, imprint: imprint ?? '' },
        });
  },
  fix: ({ place, data: { name, imprint } }) =>
    imprint
      ? {
          title: `Take the imprint of ${name}`,
          edits: [{ place: { inside: { owner: place.owner, id: 0 } }, text: `imprint "${imprint}"` }],
        }
      : null,
});
