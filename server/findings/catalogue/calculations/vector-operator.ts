import { rule } from '../../rule.js';

export default rule({
  code: 'vector-operator',
  severity: 'error',
  title: 'An operator does not work on vectors',
  message:
    "{operator} doesn't work on these. Vectors add and subtract with vectors and scale with numbers; dot(a, b) and cross(a, b) multiply them.",
});
