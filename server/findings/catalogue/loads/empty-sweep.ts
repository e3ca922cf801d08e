import { rule } from '../../rule.js';

export default rule({
  code: 'empty-sweep',
  severity: 'error',
  title: 'A check runs over nothing',
  message:
    '{name} runs over nothing here, so this check looks at nothing, and is undetermined. Correct what it runs over.',
});
