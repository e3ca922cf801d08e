import { rule } from '../../rule.js';

export default rule({
  code: 'range-in-table',
  severity: 'error',
  title: 'A table is asked with a range',
  message:
    'A table is asked with one value, not with a range. Name an end (.high), or sweep it: for T in knots(range).',
});
