import { BLOCKS, type BlockRule } from '../../model/blocks.js';
import type { Reference } from '../../model/expression.js';
import type { Place } from '../../engine/value.js';
import { at, rule } from '../rule.js';

export default rule({
  code: 'misplaced-head',
  severity: 'error',
  title: 'The head of a block takes no such word',
  message: "{word} can't stand in the head of a {kind}. Remove it.",
  onDeclaration(report, entity): void {
    const head = BLOCKS.get(entity.kind)?.head;
    if (!head) return;
    const { declaration } = entity;
    const { title, value, of, is, on, from, in: within, targets, restrictions } = declaration;
    const misplaced = (word: BlockRule['head'][number], place: Place): void =>
      report({
        code: 'misplaced-head',
        place,
        data: { word: word === 'title' ? 'A title' : word === 'value' ? 'A value behind =' : word, kind: entity.kind },
      });
    const reference = (word: BlockRule['head'][number], first: Reference | null | undefined): void => {
      if (first && !head.includes(word)) misplaced(word, at(declaration, first.id));
    };
    if (title && !head.includes('title')) misplaced('title', at(title, 0));
    if (value && !head.includes('value')) misplaced('value', at(value, value.value.id));
    reference('of', of);
    reference('is', is);
    reference('on', on[0]);
    reference('from', from[0]);
    reference('in', within[0]);
    reference('for', targets[0]);
    if (restrictions[0] && !head.includes('restrictions'))
      misplaced('restrictions', at(restrictions[0], restrictions[0].id));
  },
});
