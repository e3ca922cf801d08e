import { rule } from '../../rule.js';

export default rule({
  code: 'growth-expected',
  severity: 'error',
  title: 'No growth table',
  message: 'What growth names must be a growth block with plain percentages.',
});
