import { rule } from '../../rule.js';

export default rule({
  code: 'too-many-loads',
  severity: 'error',
  title: 'Too many loads in one case',
  message: 'More than {most} loads act together in this case. Name the ones that do.',
});
