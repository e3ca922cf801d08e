import type { ValueItem } from '../../../model/declaration.js';
import { rule } from '../../rule.js';

export default rule({
  code: 'maturity-missing',
  severity: 'error',
  title: 'A mass says no maturity',
  message:
    'The mass of {part} says no maturity, so {table} gives no growth for it. Add maturity estimated, calculated or measured.',
  fix: ({ data, place }, _text, { view }) => {
    // What has no mass of its own is told at the part.
    if (!('value' in place.owner)) return null;
    const mass = place.owner as ValueItem;
    const table = view.namespace.ofKind('growth').find(growth => growth.name === data['table']);
    return [...(table?.values.keys() ?? [])]
      .filter(name => name !== 'source')
      .map(maturity => ({
        title: `Add maturity ${maturity}`,
        edits: [{ place: { after: { owner: mass, id: mass.value.id } }, text: ` maturity ${maturity}` }],
      }));
  },
});
