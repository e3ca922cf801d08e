import { here } from '../../fixes.js';
import { rule } from '../../rule.js';

export default rule({
  code: 'open-placeholder',
  severity: 'error',
  title: 'A brace in a text is not closed',
  message: 'The brace is never closed. Add }, or write \\{ for a brace that is printed.',
  fix: (_found, text) => here('Print the brace', `\\${text}`),
});
