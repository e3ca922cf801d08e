import { BLOCKS, type BlockRule } from '../../model/blocks.js';
import type { Declaration } from '../../model/declaration.js';
import type { Place } from '../../engine/value.js';
import { at, rule, type Found } from '../rule.js';

export default rule({
  code: 'misplaced-head', severity: 'error', title: 'The head of a block takes no such word',
  message: '{word} can\'t stand in the head of a {kind}. Remove it.',
  *onDeclaration(entity): Iterable<Found> {
    const block = BLOCKS.get(entity.kind);
    if (!block) return;
    for (const [word, place] of headOf(entity.declaration)) if (!block.head.includes(word)) yield { code: 'misplaced-head', place, data: { word: word === 'title' ? 'A title' : word === 'value' ? 'A value behind =' : word, kind: entity.kind } };
  },
});

function* headOf(declaration: Declaration): Iterable<readonly [BlockRule['head'][number], Place]> {
  if (declaration.title) yield ['title', at(declaration.title, 0)];
  if (declaration.value) yield ['value', at(declaration.value, declaration.value.value.id)];
  if (declaration.of) yield ['of', at(declaration, declaration.of.id)];
  if (declaration.is) yield ['is', at(declaration, declaration.is.id)];
  if (declaration.on[0]) yield ['on', at(declaration, declaration.on[0].id)];
  if (declaration.from[0]) yield ['from', at(declaration, declaration.from[0].id)];
  if (declaration.in[0]) yield ['in', at(declaration, declaration.in[0].id)];
  if (declaration.targets[0]) yield ['for', at(declaration, declaration.targets[0].id)];
  if (declaration.restrictions[0]) yield ['restrictions', at(declaration.restrictions[0], declaration.restrictions[0].id)];
}
