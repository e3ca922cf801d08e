import { rule } from '../../rule.js';

/** Worded by the barriers of the project. */
export default rule({
  code: 'defect',
  severity: 'error',
  title: 'A defect of Gusset',
  message:
    'Gusset failed while it looked at {what}: this is a defect in Gusset, not in your text. Write it another way, and report it.',
});
