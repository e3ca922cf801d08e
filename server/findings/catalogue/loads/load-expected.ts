import { rule } from '../../rule.js';

export default rule({
  code: 'load-expected',
  severity: 'error',
  title: 'A load is due',
  message: 'A load, a case or a list of them is due here, not {found}.',
});
