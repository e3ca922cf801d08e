import { rule } from '../../rule.js';

/** What makes a quantity of it. */
const MENDS: ReadonlyMap<string, string> = new Map([
  ['a range', ': sweep the load with corners(…), a range with knots(…)'],
  ['a value in any direction', ': sweep the load with corners(…), a range with knots(…)'],
  ['a table', ': ask it in brackets, as strength(20 degC)'],
]);

export default rule({
  code: 'number-expected',
  severity: 'error',
  title: 'A number is due',
  message: ({ found }) => `A quantity is due here, not ${found}${MENDS.get(found!) ?? ''}.`,
});
