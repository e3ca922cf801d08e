import { rule } from '../../rule.js';

export default rule({
  code: 'vector-expected',
  severity: 'error',
  title: 'A vector is due',
  message: 'A vector such as (1, 2, 3) mm is due here, not {found}.',
});
