import { rule } from '../rule.js';

export default rule({
  code: 'unknown-label', severity: 'error', title: 'A label names nothing',
  message: 'There is no block labelled {label}. Correct the label, or remove the # where a plain name is meant.',
});
