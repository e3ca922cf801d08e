import { rule } from '../rule.js';

export default rule({
  code: 'no-lot', severity: 'error', title: 'A part names no lot',
  message: '{part} names no lot: write material = … from its lot.',
});
