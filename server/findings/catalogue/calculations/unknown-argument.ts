import { here } from '../../fixes.js';
import { nearest } from '../../../base/index.js';
import { rule } from '../../rule.js';

export default rule({
  code: 'unknown-argument',
  severity: 'error',
  title: 'There is no such argument',
  message: ({ name, known }) =>
    known
      ? `There is no argument ${name} here; known are: ${known}.`
      : `There is no argument ${name} here: none is taken.`,
  fix: ({ data }) => {
    const similar = nearest(data['name']!, data['known']!.split(', '));
    return similar === null ? null : here(`Replace by ${similar}`, similar);
  },
});
