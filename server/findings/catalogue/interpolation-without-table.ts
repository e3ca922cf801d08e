import { rule } from '../rule.js';

export default rule({
  code: 'interpolation-without-table', severity: 'error', title: 'A list is not interpolated',
  message: '{word} stands behind a list. A table has pairs: [x -> y, …] {word}.',
});
