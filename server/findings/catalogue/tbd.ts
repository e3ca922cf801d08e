import { walkDeclaration } from '../text-search.js';
import { at, rule } from '../rule.js';

export default rule({
  code: 'tbd',
  severity: 'information',
  title: 'A value is to be determined',
  message: ({ what, owner, due }) =>
    `${what} is to be determined${owner ? ` by ${owner}` : ''}${due ? `, due ${due}` : ''}. What needs it is undetermined until then.`,
  onDeclaration(report, entity): void {
    if (!entity.declaration.mentions.undetermined) return;
    walkDeclaration(entity.declaration, (node, item) => {
      if (node.kind !== 'tbd' || !('value' in item)) return;
      const { owner, due } = item.annotations;
      report({
        code: 'tbd',
        place: at(item, node.id),
        data: { what: `${entity.path}.${item.name}`, owner: owner ?? '', due: due?.path.join('.') ?? '' },
      });
    });
  },
});
