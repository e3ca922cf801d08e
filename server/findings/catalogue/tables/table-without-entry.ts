import { rule } from '../../rule.js';

export default rule({
  code: 'table-without-entry',
  severity: 'error',
  title: 'An exact table has no such row',
  message: '{table} is asked at {asked} and has no row there; as an exact table it gives no value between its rows.',
});
