import { here } from '../../fixes.js';
import { rule } from '../../rule.js';

export default rule({
  code: 'unit-without-number',
  severity: 'error',
  title: 'A unit stands alone',
  message: '{unit} is a unit and stands without a number. Write 1 {unit} for one of it.',
  fix: (_found, text) => here(`Write 1 ${text}`, `1 ${text}`),
});
