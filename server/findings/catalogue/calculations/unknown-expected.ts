import { rule } from '../../rule.js';

export default rule({
  code: 'unknown-expected',
  severity: 'error',
  title: 'An unknown is due',
  message: '{name} solves for an unknown that you name: {example}.',
});
