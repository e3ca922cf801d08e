import { rule } from '../../rule.js';

export default rule({
  code: 'kind-expected',
  severity: 'error',
  title: 'A kind is due',
  message: 'The name of a kind is due here, not {found}.',
});
