import { rule } from '../../rule.js';

export default rule({
  code: 'position-expected',
  severity: 'error',
  title: 'A position is due',
  message: 'A position is a vector of lengths such as (10, 0, 25) mm, not {found}.',
});
