import { rule } from '../../rule.js';

export default rule({
  code: 'ambiguous-name',
  severity: 'error',
  title: 'A name means several things',
  message: '{name} could be {candidates}. Write as much of the path as tells them apart.',
});
