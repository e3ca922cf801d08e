import { lotFixes } from '../../fixes.js';
import { isTemplate } from '../../../engine/verification-index.js';
import { at, rule } from '../../rule.js';

export default rule({
  code: 'part-without-lot',
  severity: 'information',
  title: 'A part without a lot',
  message: '{part} names its material and not the lot it is made from. After CDR write material = … from its lot.',
  onProject(report, view): void {
    if (!view.reached('CDR')) return;
    for (const part of view.namespace.ofKind('part')) {
      const material = part.declaration.values.find(item => item.name === 'material');
      if (
        material &&
        !part.template &&
        !isTemplate(part) &&
        part.values.has('drawing') &&
        !material.annotations.from?.length
      )
        report({ code: 'part-without-lot', place: at(material, material.value.id), data: { part: part.path } });
    }
  },
  fix: ({ data }, _text, help) =>
    lotFixes(help.view.namespace.resolvePath(data['part']!.split('.'), help.view.namespace.root), help),
});
