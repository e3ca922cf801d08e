import { here } from '../../fixes.js';
import { rule } from '../../rule.js';

export default rule({
  code: 'range-without-step',
  severity: 'error',
  title: 'A range is swept without a step',
  message:
    'A range of quantities needs a step (… step 0.5 mm), or knots(range) for its ends and the breakpoints of tables.',
  fix: (_found, text) => here('Sweep its ends and the breakpoints between', `knots(${text})`),
});
