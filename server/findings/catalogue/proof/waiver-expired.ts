import { dayOf } from '../../../engine/values/words.js';
import { at, rule } from '../../rule.js';

export default rule({
  code: 'waiver-expired',
  severity: 'warning',
  title: 'A waiver has expired',
  message: '{waiver} expired on {expires}; judged at {date}. Renew it with a new approval, or remove it.',
  onProject(report, view): void {
    for (const waiver of view.namespace.ofKind('waiver')) {
      const expires = dayOf(view.namespace, waiver, 'expires');
      const item = waiver.values.get('expires');
      if (expires && item && expires < view.asOf)
        report({
          code: 'waiver-expired',
          place: at(item, item.value.id),
          data: { waiver: waiver.label, expires, date: view.asOf },
        });
    }
  },
});
