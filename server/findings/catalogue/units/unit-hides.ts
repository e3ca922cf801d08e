import { isUnit, parseUnit } from '../../../units/index.js';
import { at, rule } from '../../rule.js';

export default rule({
  code: 'unit-hides',
  severity: 'warning',
  title: 'A declared unit is known already',
  message: '{name} is a unit already, and that one counts. Choose another name.',
  onProject(report, view): void {
    for (const contenders of view.namespace.rootContenders()) {
      for (const { item } of contenders)
        if (item.kind === 'unit' && isUnit(parseUnit(item.name)))
          report({ code: 'unit-hides', place: at(item, item.id), data: { name: item.name } });
    }
  },
});
