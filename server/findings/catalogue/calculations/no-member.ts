import { rule } from '../../rule.js';

export default rule({
  code: 'no-member',
  severity: 'error',
  title: 'A value has no parts',
  message: '{of} has no .{name}: only blocks, records, vectors and ranges have parts that a dot can name.',
});
