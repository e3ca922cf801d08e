import { isTemplate } from '../../../engine/verification-index.js';
import { at, rule } from '../../rule.js';

export default rule({
  code: 'part-without-material',
  severity: 'information',
  title: 'A part without a material',
  message: '{part} has a drawing and says not what it is made of. Add material = … from its lot.',
  onProject(report, view): void {
    if (!view.reached('CDR')) return;
    for (const part of view.namespace.ofKind('part')) {
      if (
        !part.template &&
        !isTemplate(part) &&
        part.values.has('drawing') &&
        !part.values.has('material') &&
        part.children('part').length === 0
      )
        report({ code: 'part-without-material', place: at(part.declaration), data: { part: part.path } });
    }
  },
});
