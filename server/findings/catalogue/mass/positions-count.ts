import { rule } from '../../rule.js';

export default rule({
  code: 'positions-count',
  severity: 'error',
  title: 'Count and positions differ',
  message: 'count says {count}, at lists {positions} positions. Make them equal.',
});
