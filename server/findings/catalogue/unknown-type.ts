import { rule } from '../rule.js';

export default rule({
  code: 'unknown-type', severity: 'error', title: 'A type is not known',
  message: '{name} is no type: name a dimension such as length, force or pressure, or text, table, list, load, part.',
});
