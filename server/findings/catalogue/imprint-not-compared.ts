import { at, rule, type Found } from '../rule.js';

export default rule({
  code: 'imprint-not-compared', severity: 'information', title: 'An imprint is not compared yet',
  message: '{name} states an imprint, and this version does not compare it with the inputs of today.',
  *onDeclaration(entity): Iterable<Found> {
    if (entity.declaration.imprint !== null || entity.declaration.checkedBy.some(check => check.imprint !== null)) yield { code: 'imprint-not-compared', place: at(entity.declaration), data: { name: entity.label } };
  },
});
