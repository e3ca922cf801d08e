import { freeLabel, isTaken } from '../../fixes.js';
import { BLOCKS } from '../../../language/index.js';
import { at, rule } from '../../rule.js';

export default rule({
  code: 'nameless-block',
  severity: 'error',
  title: 'A block has no name',
  message: 'This {kind} has no name, so nothing can refer to it. Write {kind} Name {…}.',
  onDeclaration(report, entity): void {
    if (entity.name === '' && BLOCKS.get(entity.kind)?.name !== 'none')
      report({ code: 'nameless-block', place: at(entity.declaration, 1), data: { kind: entity.kind } });
  },
  fix: ({ data, place }, _text, { view }) => {
    const kind = data['kind']!;
    const name = freeLabel(`${kind[0]!.toUpperCase()}${kind.slice(1)}0`, isTaken(view.namespace));
    return { title: `Name it ${name}`, edits: [{ place: { after: place }, text: ` ${name}` }] };
  },
});
