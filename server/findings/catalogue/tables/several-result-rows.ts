import { rule } from '../../rule.js';

export default rule({
  code: 'several-result-rows',
  severity: 'error',
  title: 'Results have several rows for this',
  message: '{results} has {count} rows with {keys}. Name more keys, or take max(for r in {results} where …: …).',
});
