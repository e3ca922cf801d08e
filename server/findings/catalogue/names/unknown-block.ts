import { nearest } from '../../../base/index.js';
import { BLOCKS } from '../../../language/index.js';
import { at, rule } from '../../rule.js';

export default rule({
  code: 'unknown-block',
  severity: 'error',
  title: 'There is no such kind of block',
  message: ({ kind, similar, known }) =>
    `There is no kind of block ${kind}, so nothing in it counts. ${similar ? `Is ${similar} meant?` : `Known are: ${known}.`}`,
  onDeclaration(report, entity): void {
    if (BLOCKS.has(entity.kind)) return;
    const known = [...BLOCKS.keys()].filter(kind => kind !== 'file');
    report({
      code: 'unknown-block',
      place: at(entity.declaration, 1),
      data: { kind: entity.kind, similar: nearest(entity.kind, known) ?? '', known: known.join(', ') },
    });
  },
  fix: found =>
    found.data['similar']
      ? { title: `Replace by ${found.data['similar']}`, edits: [{ place: 'here', text: found.data['similar'] }] }
      : null,
});
