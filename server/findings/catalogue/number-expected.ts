import { rule } from '../rule.js';

/** What a load gives where nothing sweeps it. */
const UNSWEPT = ['a range', 'a value in any direction'];

export default rule({
  code: 'number-expected',
  severity: 'error',
  title: 'A number is due',
  message: ({ found }) =>
    `A quantity is due here, not ${found}${UNSWEPT.includes(found!) ? ': sweep the load with corners(…), a range with knots(…)' : ''}.`,
});
