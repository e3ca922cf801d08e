import { replaceThroughout } from '../../fixes.js';
import { rule } from '../../rule.js';

export default rule({
  code: 'unknown-member',
  severity: 'error',
  title: 'A block has no such value',
  message: ({ name, of, known, similar, more }) =>
    `${of} has no ${name}${more ? `, which is read in ${Number(more) + 1} places` : ''}. ${similar ? `Is ${similar} meant?` : known ? `It has: ${known}.` : 'It states nothing yet.'}`,
  fix: replaceThroughout,
});
