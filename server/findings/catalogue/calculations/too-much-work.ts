import { rule } from '../../rule.js';

export default rule({
  code: 'too-much-work',
  severity: 'error',
  title: 'More than can be worked out',
  message:
    'This comes to more than {most} expressions, with the formulas, folds and rows in it, and is undetermined. Sweep over less, or give what is repeated a let of its own.',
});
