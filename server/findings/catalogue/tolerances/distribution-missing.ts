import { rule } from '../../rule.js';

export default rule({
  code: 'distribution-missing',
  severity: 'error',
  title: 'A distribution is missing',
  message:
    '{where} reads a statistical bound, but not every source of variation says how it is distributed. Write ± 0.1 mm normal 3, or uniform.',
});
