import { rule } from '../../rule.js';

export default rule({
  code: 'limits-swapped',
  severity: 'error',
  title: 'The limits of a tolerance are swapped',
  message: 'The upper limit lies below the lower one. Write the larger first: (+0.2, -0.1) mm.',
});
