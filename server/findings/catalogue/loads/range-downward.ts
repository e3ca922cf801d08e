import { here } from '../../fixes.js';
import { rule } from '../../rule.js';

export default rule({
  code: 'range-downward',
  severity: 'error',
  title: 'A range that is written downward',
  message: 'This range runs downward. Write the lower end first: {low} .. {high}.',
  fix: (_found, text) =>
    here(
      'Write the lower end first',
      text
        .split('..')
        .reverse()
        .map(end => end.trim())
        .join(' .. '),
    ),
});
