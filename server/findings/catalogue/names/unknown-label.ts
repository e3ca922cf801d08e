import { countsOn, here } from '../../fixes.js';
import { nearest } from '../../../base/index.js';
import { rule } from '../../rule.js';

const LABELLED = ['requirement', 'evidence', 'waiver', 'article', 'lot', 'assume', 'nonconformance'];

export default rule({
  code: 'unknown-label',
  severity: 'error',
  title: 'A label names nothing',
  message: 'There is no block labelled {label}. Correct the label, or remove the # where a plain name is meant.',
  fix: ({ data }, _text, { view }) => {
    const label = data['label']!;
    const labels = LABELLED.flatMap(kind => view.namespace.ofKind(kind)).map(each => each.label);
    const similar = nearest(
      label,
      labels.filter(each => !countsOn(each, label)),
    );
    return similar === null ? null : here(`Replace by ${similar}`, `#${similar}`);
  },
});
