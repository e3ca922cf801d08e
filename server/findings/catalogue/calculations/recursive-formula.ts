import { rule } from '../../rule.js';

export default rule({
  code: 'recursive-formula',
  severity: 'error',
  title: 'A formula calls itself',
  message: '{name} calls itself, or calls are nested too deeply. Use sum, max or root in place of recursion.',
});
