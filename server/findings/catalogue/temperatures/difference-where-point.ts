import { rule } from '../../rule.js';

export default rule({
  code: 'difference-where-point',
  severity: 'error',
  title: 'A difference of temperature where a point is due',
  message: 'A point of temperature is due here and this is a difference. Write it in degC, or as point(300 K).',
  fix: (_found, text) => ({ title: 'Make it a point', edits: [{ place: 'here', text: `point(${text})` }] }),
});
