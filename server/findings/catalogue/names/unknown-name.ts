import { rule } from '../../rule.js';

export default rule({
  code: 'unknown-name',
  severity: 'error',
  title: 'A name means nothing here',
  message: ({ name, similar }) =>
    `There is no name ${name} here. ${similar ? `Is ${similar} meant?` : 'Correct its spelling, or declare it with let.'}`,
  fix: found =>
    found.data['similar']
      ? { title: `Replace by ${found.data['similar']}`, edits: [{ place: 'here', text: found.data['similar'] }] }
      : null,
});
