import { rule } from '../../rule.js';

export default rule({
  code: 'unknown-unit',
  severity: 'error',
  title: 'A unit is not known',
  message: '{message}',
  fix: ({ data: { unit, suggestion }, related = [] }, text, { textAt }) => {
    if (!suggestion || !text.includes(unit!)) return null;
    const others = related.map(({ place }) => ({ place, text: textAt(place).replace(unit!, suggestion) }));
    return {
      title: `Replace by ${suggestion}`,
      edits: [{ place: 'here' as const, text: text.replace(unit!, suggestion) }, ...others],
    };
  },
});
