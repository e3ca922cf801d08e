import { rule } from '../../rule.js';

export default rule({
  code: 'result-dimension',
  severity: 'error',
  title: 'A formula does not give what it says',
  message: '{name} says it gives {wanted}, but its expression is {found}.',
});
