import { here } from '../../fixes.js';
import { NAMED_QUANTITIES } from '../../../units/index.js';
import { nearest } from '../../../base/index.js';
import { rule } from '../../rule.js';

export default rule({
  code: 'unknown-type',
  severity: 'error',
  title: 'A type is not known',
  message: '{name} is no type: name a dimension such as length, force or pressure, or text, table, list, load, part.',
  fix: ({ data }, text) => {
    const similar = nearest(
      data['name']!,
      NAMED_QUANTITIES.map(({ name }) => name),
    );
    return similar === null ? null : here(`Replace by ${similar}`, text.replace(data['name']!, similar));
  },
});
