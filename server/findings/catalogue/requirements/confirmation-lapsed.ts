import { confirmationsOf } from '../../../engine/confirmations.js';
import { at, rule } from '../../rule.js';

export default rule({
  code: 'confirmation-lapsed',
  severity: 'warning',
  title: 'What was confirmed is another value now',
  message:
    '{label} has lapsed: {name} is not what it was when it was confirmed, and is to be confirmed again. Compare it with its source anew; then its imprint is "{imprint}".',
  onProject(report, { configurations }): void {
    for (const { entity, item, name, taken, imprint } of confirmationsOf(configurations[0]!.evaluation))
      if (item && taken !== null && imprint !== null && taken !== imprint)
        report({
          code: 'confirmation-lapsed',
          place: at(entity.declaration),
          data: { label: entity.label, name, imprint },
        });
  },
});
