import { rule } from '../../rule.js';

export default rule({
  code: 'part-expected',
  severity: 'error',
  title: 'A part is due',
  message: 'A part is due here, not {found}.',
});
