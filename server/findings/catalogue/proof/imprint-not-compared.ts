import { at, rule } from '../../rule.js';
import { saidIn } from '../../../model/statements.js';

export default rule({
  code: 'imprint-not-compared',
  severity: 'information',
  title: 'An imprint is not compared yet',
  message: '{name} states an imprint, and this version does not compare it with the inputs of today.',
  onDeclaration(report, entity): void {
    const { declaration } = entity;
    // That of a confirmation is.
    if (entity.kind === 'confirmation') return;
    const checks = saidIn(declaration, 'checkedBy');
    if (saidIn(declaration, 'imprint') !== null || checks.some(check => check.imprint !== null))
      report({ code: 'imprint-not-compared', place: at(entity.declaration), data: { name: entity.label } });
  },
});
