import { rule } from '../../rule.js';

export default rule({
  code: 'index-out-of-range',
  severity: 'error',
  title: 'A list is too short',
  message: 'Item {index} of {length}: indices run from 1 to {length}.',
});
