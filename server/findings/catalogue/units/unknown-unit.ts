import { rule } from '../../rule.js';

export default rule({
  code: 'unknown-unit',
  severity: 'error',
  title: 'A unit is not known',
  message: '{message}',
  fix: ({ data: { unit, suggestion } }, text) =>
    suggestion && text.includes(unit!)
      ? { title: `Replace by ${suggestion}`, edits: [{ place: 'here', text: text.replace(unit!, suggestion) }] }
      : null,
});
