import { rule } from '../../rule.js';

export default rule({
  code: 'index-undetermined',
  severity: 'error',
  title: 'An index has no value',
  message: 'The index in the brackets has no value, so nobody knows which item is meant. Give what it reads a value.',
});
