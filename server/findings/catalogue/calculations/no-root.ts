import { rule } from '../../rule.js';

export default rule({
  code: 'no-root',
  severity: 'error',
  title: 'There is no root between the bounds',
  message: '{where} finds no root: the function has the same sign at both bounds. Widen the bounds.',
});
