import { confirmationsOf } from '../../../engine/confirmations.js';
import { at, rule } from '../../rule.js';

export default rule({
  code: 'confirmation-of-nothing',
  severity: 'warning',
  title: 'A confirmation confirms nothing',
  message:
    '{label} confirms nothing: what it names is no value of a library that is to be confirmed (tbc). Name the value; where it is one of the project, remove its tbc.',
  onProject(report, { configurations }): void {
    for (const { entity, item: found } of confirmationsOf(configurations[0]!.evaluation)) {
      const item = entity.values.get('confirms');
      if (item && !found)
        report({
          code: 'confirmation-of-nothing',
          place: at(item, item.value.id),
          data: { label: entity.label },
        });
    }
  },
});
