import { rule } from '../../rule.js';

export default rule({
  code: 'cycle',
  severity: 'error',
  title: 'A value needs itself',
  message: '{loop}: each needs the next, so none has a value. Break the circle, or solve it with root(…).',
});
