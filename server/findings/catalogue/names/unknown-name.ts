import { replaceThroughout } from '../../fixes.js';
import { rule } from '../../rule.js';

export default rule({
  code: 'unknown-name',
  severity: 'error',
  title: 'A name means nothing here',
  message: ({ name, similar, more, label }) =>
    label
      ? `${label} is a label: write #${label} in a calculation.`
      : `There is no name ${name} here${more ? `, which is read in ${Number(more) + 1} places` : ''}. ${similar ? `Is ${similar} meant?` : 'Correct its spelling, or declare it with let.'}`,
  fix: replaceThroughout,
});
