import { BLOCKS, type Block } from '../../../language/index.js';
import type { Reference } from '../../../model/expression.js';
import type { Place } from '../../../engine/values/value.js';
import { at, rule } from '../../rule.js';

export default rule({
  code: 'misplaced-head',
  severity: 'error',
  title: 'The head of a block takes no such word',
  message: "{word} can't stand in the head of a {kind}. Remove it.",
  onDeclaration(report, entity): void {
    const head = BLOCKS.get(entity.kind)?.head;
    if (!head) return;
    const { declaration } = entity;
    const { title, value, restrictions, stray } = declaration;
    const misplaced = (word: keyof Block['head'], place: Place): void =>
      report({
        code: 'misplaced-head',
        place,
        data: { word: word === 'title' ? 'A title' : word === 'value' ? 'A value behind =' : word, kind: entity.kind },
      });
    const reference = (word: keyof Block['head'], first: Reference | null | undefined): void => {
      if (first) misplaced(word, at(declaration, first.id));
    };
    if (title && !head.title) misplaced('title', at(title, 0));
    if (value && !head.value) misplaced('value', at(value, value.value.id));
    reference('of', stray?.of);
    reference('is', stray?.is);
    reference('on', stray?.on?.[0]);
    reference('from', stray?.from?.[0]);
    reference('in', stray?.in?.[0]);
    reference('for', stray?.targets?.[0]);
    if (restrictions[0] && !head.restrictions) misplaced('restrictions', at(restrictions[0], restrictions[0].id));
  },
});
