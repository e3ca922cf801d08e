import { rule } from '../../rule.js';

export default rule({
  code: 'cannot-compare-kinds',
  severity: 'error',
  title: 'Things of different kind are compared',
  message: "These can't be compared: {left} and {right}.",
});
