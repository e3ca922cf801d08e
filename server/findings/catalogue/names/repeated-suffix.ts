import { rule } from '../../rule.js';

export default rule({
  code: 'repeated-suffix',
  severity: 'error',
  title: 'Something is said twice of one value',
  message: '{word} stands twice behind this value. Remove one of them.',
});
