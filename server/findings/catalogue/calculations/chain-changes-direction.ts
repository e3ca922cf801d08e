import { rule } from '../../rule.js';

export default rule({
  code: 'chain-changes-direction',
  severity: 'error',
  title: 'A chain of comparisons changes direction',
  message: 'This chain mixes < with >. Write it in one direction, lo <= x <= hi, or as two comparisons joined by and.',
});
