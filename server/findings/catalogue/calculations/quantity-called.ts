import { rule } from '../../rule.js';

export default rule({
  code: 'quantity-called',
  severity: 'error',
  title: 'A quantity is called like a formula',
  message: '{name} is a quantity and takes no brackets. Write {name} alone, or {name} * (…) for a product.',
  fix: found => ({ title: `Write ${found.data['name']} alone`, edits: [{ place: 'here', text: found.data['name']! }] }),
});
