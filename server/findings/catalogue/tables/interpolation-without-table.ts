import { here } from '../../fixes.js';
import { rule } from '../../rule.js';

export default rule({
  code: 'interpolation-without-table',
  severity: 'error',
  title: 'A list is not interpolated',
  message: '{word} stands behind a list. A table has pairs: [x -> y, …] {word}.',
  fix: ({ data }, text) => here(`Remove ${data['word']}`, text.slice(0, text.lastIndexOf(data['word']!)).trimEnd()),
});
