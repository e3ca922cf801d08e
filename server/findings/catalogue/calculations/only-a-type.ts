import { rule } from '../../rule.js';

export default rule({
  code: 'only-a-type',
  severity: 'error',
  title: 'Only the type is known',
  message: ({ name, part }) =>
    name ? `${part} gives ${name} no value.` : 'Only the type of this is known, since no value was given for it here.',
});
