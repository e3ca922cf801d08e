import { rule } from '../../rule.js';

export default rule({
  code: 'unknown-member',
  severity: 'error',
  title: 'A block has no such value',
  message: ({ name, of, known, similar }) =>
    `${of} has no ${name}. ${similar ? `Is ${similar} meant?` : `It has: ${known}.`}`,
  fix: found =>
    found.data['similar']
      ? { title: `Replace by ${found.data['similar']}`, edits: [{ place: 'here', text: found.data['similar'] }] }
      : null,
});
