import { inside } from '../../fixes.js';
import type { Entity } from '../../../model/namespace.js';
import { at, rule } from '../../rule.js';
import { declared } from '../../../model/statements.js';

export default rule({
  code: 'missing-mode',
  severity: 'warning',
  title: 'A failure mode of a kind is not checked',
  message: '{kind} needs a check of {mode}, and none of its requirements has one.',
  onProject(report, view): void {
    for (const kind of view.namespace.ofKind('kind')) {
      const modes = modesOf(kind);
      for (const mode of declared(kind, 'kind').needs)
        if (!modes.has(mode.name))
          report({
            code: 'missing-mode',
            place: at(kind.declaration, mode.id),
            data: { kind: kind.name, mode: mode.name },
          });
    }
  },
  fix: ({ data }, _text, { view }) => {
    const requirement = view.namespace
      .ofKind('kind')
      .find(kind => kind.name === data['kind'])
      ?.children('requirement')[0];
    return requirement
      ? inside(`Add a check of ${data['mode']} to ${requirement.name}`, requirement, `check ${data['mode']}: TBD <= 1`)
      : null;
  },
});

function modesOf(entity: Entity): Set<string> {
  const modes = new Set(entity.checks.flatMap(check => (check.mode === null ? [] : [check.mode])));
  for (const child of entity.members.values()) for (const mode of modesOf(child)) modes.add(mode);
  return modes;
}
