import { rule } from '../../rule.js';

export default rule({
  code: 'too-much-in-all',
  severity: 'error',
  title: 'The project comes to more than can be worked out',
  message:
    'The values and checks of this project come to more than {most} expressions, with the formulas, folds and rows in them, and this one is undetermined. Sweep over less, or give what is repeated a let of its own.',
});
