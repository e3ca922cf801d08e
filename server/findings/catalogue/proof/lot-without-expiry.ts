import { isAgeing } from '../../../engine/articles.js';
import { articlesOf, lotsOf } from '../../../engine/verification-index.js';
import type { Entity, Namespace } from '../../../model/namespace.js';
import { at, rule } from '../../rule.js';

/** Told once at the lot, and only where something was taken on what is made of it. */
export default rule({
  code: 'lot-without-expiry',
  severity: 'warning',
  title: 'A lot that ages does not say until when it is good',
  message:
    'Lot {name} is of a material that ages on the shelf and does not say when it expires, so {evidence} can close nothing. Add expires = ….',
  onProject(report, { namespace }): void {
    for (const lot of namespace.ofKind('lot')) {
      if (lot.values.has('expires') || !isAgeing(namespace, lot)) continue;
      const taken = takenOn(namespace, lot);
      if (taken.length > 0)
        report({
          code: 'lot-without-expiry',
          place: at(lot.declaration),
          data: { name: lot.label, evidence: taken.map(({ label }) => label).join(', ') },
          related: taken.map(evidence => ({
            place: at(evidence.declaration),
            message: `${evidence.label} was taken on what is made of ${lot.label}.`,
          })),
        });
    }
  },
});

function takenOn(namespace: Namespace, lot: Entity): Entity[] {
  return namespace
    .ofKind('evidence')
    .filter(evidence => articlesOf(namespace, evidence).some(article => lotsOf(namespace, article).includes(lot)));
}
