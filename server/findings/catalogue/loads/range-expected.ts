import { rule } from '../../rule.js';

export default rule({
  code: 'range-expected',
  severity: 'error',
  title: 'A range is due',
  message: 'A range such as 0 mm .. 5 mm is due here, not {found}.',
});
