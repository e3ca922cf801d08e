import { rule } from '../../rule.js';

export default rule({
  code: 'fold-expected',
  severity: 'error',
  title: 'A fold has no state',
  message: 'fold takes one state and what it runs over: fold(for total from 0 N, row in rows: total + row.load).',
});
