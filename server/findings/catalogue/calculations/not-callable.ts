import { rule } from '../../rule.js';

export default rule({
  code: 'not-callable',
  severity: 'error',
  title: 'This cannot be called',
  message: ({ found, members }) =>
    `Brackets directly behind a name call a formula or ask a table, and this is ${found}${members ? ` of ${members}: name one of them first` : ''}.`,
});
