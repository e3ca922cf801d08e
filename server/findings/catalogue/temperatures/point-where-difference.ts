import { rule } from '../../rule.js';

export default rule({
  code: 'point-where-difference',
  severity: 'error',
  title: 'A point of temperature where a difference is due',
  message:
    'A difference of temperature is due here and this is a point on the scale. Subtract a reference, or write it in K.',
  fix: (_found, text) =>
    /\d ?degC$/.test(text)
      ? { title: 'Make it a difference in K', edits: [{ place: 'here', text: text.replace('degC', 'K') }] }
      : null,
});
