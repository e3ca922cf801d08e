import { rule } from '../rule.js';

export default rule({
  code: 'sweep-too-large', severity: 'error', title: 'A sweep has too many combinations',
  message: 'This sweep comes to more than {most} combinations. Sweep fewer names, or a coarser step.',
});
