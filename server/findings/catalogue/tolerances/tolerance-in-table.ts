import { rule } from '../../rule.js';

export default rule({
  code: 'tolerance-in-table',
  severity: 'warning',
  title: 'A tolerance in a table is lost',
  message:
    'A table holds plain numbers: this tolerance is not carried on. Put the ± on the value that is read from it.',
});
