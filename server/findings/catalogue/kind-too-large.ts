import { kindTooLarge } from '../../engine/mass.js';
import { isTemplate } from '../../engine/verification-index.js';
import { at, rule } from '../rule.js';

export default rule({
  code: 'kind-too-large',
  severity: 'error',
  title: 'A kind holds more than can be made',
  message:
    '{part} would hold more than {most} blocks through its kind: some are missing, with their masses and requirements. Let kinds hold fewer of each other.',
  onProject(report, view): void {
    for (const part of view.namespace.overfull)
      if (part.kind === 'part' && !part.template && !isTemplate(part))
        report({ code: 'kind-too-large', place: at(part.declaration), data: kindTooLarge(part) });
  },
});
