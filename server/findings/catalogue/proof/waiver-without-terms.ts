import { wordOf } from '../../../engine/values/words.js';
import { at, rule } from '../../rule.js';

export default rule({
  code: 'waiver-without-terms',
  severity: 'warning',
  title: 'A waiver without terms',
  message:
    '{waiver} says not what it accepts, so it accepts nothing. Add accepts margin >= …, or the method it waives.',
  kinds: ['waiver'],
  onDeclaration(report, entity): void {
    if (
      wordOf(entity, 'method') === null &&
      !entity.declaration.conditions.some(condition => condition.kind === 'accepts')
    )
      report({ code: 'waiver-without-terms', place: at(entity.declaration), data: { waiver: entity.label } });
  },
  fix: found => ({
    title: 'Add the terms',
    edits: [{ place: { inside: { owner: found.place.owner, id: 0 } }, text: 'accepts margin >= 0' }],
  }),
});
