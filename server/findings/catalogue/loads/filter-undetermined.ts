import { rule } from '../../rule.js';

export default rule({
  code: 'filter-undetermined',
  severity: 'error',
  title: 'A filter cannot be decided',
  message:
    'What this filter asks has no value, so nobody knows which items it keeps, and the whole is undetermined. Give what it reads a value.',
});
