import { BLOCKS } from '../../model/blocks.js';
import { at, rule, type Found } from '../rule.js';

export default rule({
  code: 'nameless-block', severity: 'error', title: 'A block has no name',
  message: 'This {kind} has no name, so nothing can refer to it. Write {kind} Name {…}.',
  *onDeclaration(entity): Iterable<Found> {
    if (entity.name === '' && BLOCKS.get(entity.kind)?.name !== 'none') yield { code: 'nameless-block', place: at(entity.declaration, 1), data: { kind: entity.kind } };
  },
});
