import { rule } from '../../rule.js';

export default rule({
  code: 'sweep-too-large',
  severity: 'error',
  title: 'A sweep has too many combinations',
  message: 'This comes to more than {most} rows. Sweep fewer names or a coarser step, or keep fewer rows in the file.',
});
