import { rule } from '../../rule.js';

export default rule({
  code: 'history-undetermined',
  severity: 'error',
  title: 'A history of loads is not known',
  message:
    'A value of this history has no number, so nobody knows its peaks, and its cycles are undetermined. Give each a value.',
});
