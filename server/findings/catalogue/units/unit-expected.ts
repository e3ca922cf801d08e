import { rule } from '../../rule.js';

export default rule({
  code: 'unit-expected',
  severity: 'error',
  title: 'A unit is due',
  message: 'A unit is due behind as.',
});
