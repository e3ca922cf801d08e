import { rule } from '../../rule.js';

export default rule({
  code: 'entry-hides',
  severity: 'warning',
  title: 'An entry of a record hides a name of the same spelling',
  message:
    '{name} is the entry before it in this record, and something else outside of the record. Call one of them otherwise.',
});
