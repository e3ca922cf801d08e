import { freeLabel, here, isTaken } from '../../fixes.js';
import type { Entity, Namespace } from '../../../model/namespace.js';
import { at, rule, type Report } from '../../rule.js';

export default rule({
  code: 'duplicate-name',
  severity: 'error',
  title: 'A name or label stands twice',
  message: '{name} stands twice: only the first is evaluated. Rename one of them.',
  onProject(report, view): void {
    for (const entity of view.namespace.entities.values()) {
      if (entity.template || entity.contenders.length < 2) continue;
      const [first, ...others] = entity.contenders;
      for (const other of others)
        report({
          code: 'duplicate-name',
          place: at(other),
          data: { name: entity.label },
          related: [{ place: at(first!), message: 'First declared here.' }],
        });
    }
    for (const [first, ...others] of view.namespace.rootContenders()) {
      for (const { item } of others)
        report({
          code: 'duplicate-name',
          place: at(item, item.id),
          data: { name: item.name },
          related: [{ place: at(first!.item, first!.item.id), message: 'First declared here.' }],
        });
    }
    sameLabels(report, view.namespace);
  },
  fix: ({ data }, text, { view }) => {
    const next = freeLabel(text, isTaken(view.namespace));
    return text === data['name'] ? here(`Rename it ${next}`, next) : null;
  },
});

/** Requirements and evidence are cited by label alone, wherever they stand. */
function sameLabels(report: Report, namespace: Namespace): void {
  for (const kind of ['requirement', 'evidence', 'waiver', 'article', 'lot']) {
    const first = new Map<string, Entity>();
    for (const entity of namespace.ofKind(kind)) {
      if (entity.template || entity.name === '') continue;
      const before = first.get(entity.label);
      if (before)
        report({
          code: 'duplicate-name',
          place: at(entity.declaration),
          data: { name: entity.label },
          related: [{ place: at(before.declaration), message: 'First declared here.' }],
        });
      else first.set(entity.label, entity);
    }
  }
}
