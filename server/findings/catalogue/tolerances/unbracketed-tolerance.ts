import { rule } from '../../rule.js';

export default rule({
  code: 'unbracketed-tolerance',
  severity: 'warning',
  title: 'A tolerance beside an operator',
  message: 'The ± belongs to {nominal} alone, not to the whole calculation. Put brackets round what it is meant for.',
  fix: (_found, text) => ({ title: 'Put brackets round it', edits: [{ place: 'here', text: `(${text})` }] }),
});
