import { rule } from '../../rule.js';

export default rule({
  code: 'missing-result-row',
  severity: 'error',
  title: 'Results have no row for this',
  message: '{results} has no row with {keys}. Run the analysis for it, or ask for a row that exists.',
});
