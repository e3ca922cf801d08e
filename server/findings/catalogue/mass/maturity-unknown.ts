import { rule } from '../../rule.js';

export default rule({
  code: 'maturity-unknown',
  severity: 'error',
  title: 'A maturity is not in the growth table',
  message: ({ table, maturity, known }) =>
    `${table} has no row ${maturity}. ${known ? `It has: ${known}.` : 'It has none yet.'}`,
});
