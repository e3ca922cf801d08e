import { at, rule } from '../../rule.js';

export default rule({
  code: 'imprint-not-compared',
  severity: 'information',
  title: 'An imprint is not compared yet',
  message: '{name} states an imprint, and this version does not compare it with the inputs of today.',
  onDeclaration(report, entity): void {
    if (entity.declaration.imprint !== null || entity.declaration.checkedBy.some(check => check.imprint !== null))
      report({ code: 'imprint-not-compared', place: at(entity.declaration), data: { name: entity.label } });
  },
});
